package plan

import (
	"fmt"
	"reflect"
	"strings"

	"urdir/figure"
	"urdir/measure"
)

// Number is one number of a plan. Value is a quantity of package measure, an
// int or a float64.
type Number struct {
	Path  string
	Value any
}

// Numbers lists every number of the plan, in the order of its fields. A path is
// the way to it by the names in JSON: parts of a list that have a key go by
// that, others by their place from 0, as in warps.body.length.lay_cm and
// panels.scarf.bands[2].picks.
func (p *Plan) Numbers() []Number {
	var out []Number
	walk(reflect.ValueOf(*p), "", &out)
	return out
}

func walk(v reflect.Value, path string, out *[]Number) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), path, out)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if f.IsExported() && name != "" && name != "-" {
				walk(v.Field(i), join(path, name), out)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			at := fmt.Sprintf("%s[%d]", path, i)
			if k := keyOf(v.Index(i).Interface()); k != "" {
				at = join(path, k)
			}
			walk(v.Index(i), at, out)
		}
	case reflect.Int, reflect.Float64:
		*out = append(*out, Number{path, v.Interface()})
	}
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// keyOf is the key a part of a list goes by.
func keyOf(part any) string {
	switch part := part.(type) {
	case YarnNeed:
		return part.Key
	case WarpPlan:
		return part.Key
	case PanelPlan:
		return part.Key
	case Chart:
		return part.Key
	case Slot:
		return part.Panel
	case WarpYarn:
		return part.Yarn
	case Ball:
		return part.Warp
	case figure.YarnUse:
		return part.Yarn
	}
	return ""
}

// unitOf is how the JSON name of a quantity ends.
func unitOf(v any) string {
	switch v.(type) {
	case measure.CM:
		return "_cm"
	case measure.MM:
		return "_mm"
	case measure.M:
		return "_m"
	case measure.Gram:
		return "_g"
	case measure.Tex:
		return "_tex"
	case measure.PerCM:
		return "_per_cm"
	case measure.PerM2:
		return "_g_per_m2"
	case measure.Ratio:
		return "_fraction"
	case measure.CM3G:
		return "_cm3_per_g"
	case measure.Degree:
		return "_deg"
	}
	return ""
}
