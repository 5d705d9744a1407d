package web

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"urdir/internal/workshop"
)

// theirField is a value and the key of the word for its field.
type theirField struct{ Label, Value string }

// fieldWords are the words of the fields that are shown when two people changed
// one thing.
var fieldWords = map[string]string{
	"Name": "name", "Contact": "contact", "Language": "language", "Note": "note", "Skills": "skills", "Hours": "hours-offered",
	"Languages": "languages", "Reach": "reach", "Text": "cloth-file", "Origin": "origin", "Meaning": "meaning", "Owner": "owner",
	"Sale": "sale", "Ask": "ask", "Granted": "granted", "Label": "lot-label", "Letter": "letter", "Colour": "colour", "Fibre": "fibre",
	"Count": "count", "Dyed": "dyed", "Taken": "taken", "Due": "due-by", "Wishes": "wishes", "Currency": "currency", "Paper": "paper",
	"Lines": "quantity", "What": "supply-what", "Gathered": "supply-gathered", "By": "supply-by", "Day": "supply-day", "Expires": "supply-good-until",
	"Dye": "settings-dye", "Calendar": "settings-calendar", "Feasts": "feasts", "Time": "hours",
}

// theirs lists a thing as someone else left it, and its revision. now is a
// workshop.Kept of whatever it is, or nothing.
func theirs(now any) (out []theirField, revision int64) {
	v := reflect.ValueOf(now)
	if v.Kind() != reflect.Struct {
		return nil, 0
	}
	value := v.FieldByName("Value")
	for i := range value.NumField() {
		label, ok := fieldWords[value.Type().Field(i).Name]
		if value.Type() == reflect.TypeFor[workshop.RecipeText]() && label == "cloth-file" {
			label = "recipe-file"
		}
		text := fieldText(value.Field(i).Interface())
		if ok && text != "" {
			out = append(out, theirField{label, text})
		}
	}
	return out, v.FieldByName("Revision").Int()
}

func fieldText(v any) string {
	switch v := v.(type) {
	case []string:
		return strings.Join(v, ", ")
	case []workshop.Line:
		var parts []string
		for _, l := range v {
			parts = append(parts, strings.TrimSpace(fmt.Sprintf("%d %s", l.Quantity, l.Wishes)))
		}
		return strings.Join(parts, "; ")
	case workshop.DyeHouse:
		return strings.Join(append(slices.Clone(v.Waters), dyeSettings{House: v}.Measures(), dyeSettings{House: v}.Reorder()), "; ")
	case workshop.Hours:
		var parts []string
		for _, o := range v.Offers {
			parts = append(parts, atHour(o.From)+"–"+atHour(o.To))
		}
		for _, a := range v.Absences {
			parts = append(parts, strings.TrimSpace(a.From+"–"+a.To+" "+a.Why))
		}
		return strings.Join(parts, "; ")
	case workshop.CalendarHouse:
		parts := []string{v.Zone}
		for _, c := range v.Closed {
			parts = append(parts, c.Name)
		}
		return strings.Join(parts, "; ")
	case []workshop.Feast:
		var parts []string
		for _, f := range v {
			parts = append(parts, f.Day+" "+f.Name)
		}
		return strings.Join(parts, "; ")
	case string, int:
		return fmt.Sprint(v)
	}
	return ""
}
