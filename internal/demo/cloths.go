package demo

import (
	"fmt"
	"slices"
	"strings"

	"urdir/examples"
	"urdir/internal/workshop"
)

// design is a cloth of the workshop: an example, or one changed by replacing
// parts of its text.
type design struct {
	key, from string // from: kind of the example
	note      string
	figure    string // name of a drawn figure that takes the bird's place
	swap      []string
	lots      map[string]string // yarn of the cloth -> key of the lot it is usually woven from
	skill     string
	pay       int64 // for a metre on the loom, in cents
}

var (
	shore  = map[string]string{"sand": "arena", "indigo": "añil", "cochineal": "grana", "marigold": "caléndula"}
	market = map[string]string{"earth": "nogal", "maize": "maíz", "teal": "laguna", "rust": "óxido"}
	shoal  = map[string]string{"wine": "vino", "shell": "concha", "moss": "musgo"}
)

// shoreLabels gives the runner's yarns the names of the workshop's lots.
var shoreLabels = []string{"label: Índigo,    letter: I", "label: Añil hondo, letter: Ñ", "label: Cempasúchil", "label: Caléndula"}

// What the cloths made from the runner change in it.
const (
	birdName = "Camino de las aves"
	birdNote = "Las aves que llegan a la marisma con las mareas de otoño."
	birdBand = "{figure: 10 cm, chart: bird, count: 2, spacing: 5 cm, margin: 2 cm, alternate: yes}"
)

// ownStrap has each bag's strap on a warp of its own, so that whoever weaves the
// bag weaves its strap as well.
var ownStrap = []string{"  strap:\n    sett: 22 /cm\n", "  strap:\n    sett: 22 /cm\n    lay: per-piece\n"}

var designs = []design{
	{key: "bruma", from: "scarf", skill: "weave", pay: 2900,
		lots: map[string]string{"mist": "niebla", "slate": "pizarra", "indigo": "añil-fino", "rose": "rosa"}},
	{key: "aves", from: "runner", swap: shoreLabels, lots: shore, skill: "brocade", pay: 8200},
	{key: "marea", from: "sash", lots: shoal, skill: "pick-up", pay: 6900},
	{key: "túnica", from: "tunic", skill: "brocade", pay: 6700,
		lots: map[string]string{"ink": "tinta", "brick": "ladrillo", "straw": "paja"}},
	{key: "feria", from: "bag", swap: ownStrap, lots: market, skill: "weave", pay: 6800},
	{key: "invierno", from: "blanket", skill: "weave", pay: 3900,
		lots: map[string]string{"charcoal": "carbón", "fleece": "vellón", "madder": "rubia", "lichen": "liquen"}},
	{key: "aguacero", from: "shawl", skill: "weave", pay: 4900, lots: map[string]string{"indigo": "añil", "sand": "arena", "cochineal": "grana"}},
	{key: "clase", from: "class", skill: "lay", pay: 7000,
		lots: map[string]string{"cream": "crema", "blue": "azul", "coral": "coral"}},

	{key: "bajamar", from: "scarf", note: "Como la Bruma, más ancha y en tonos de arena.", skill: "weave", pay: 3900,
		lots: map[string]string{"mist": "duna", "slate": "pizarra", "indigo": "niebla", "rose": "rosa"},
		swap: []string{"Bufanda Bruma", "Bufanda Bajamar", "La primera bruma sobre la marisma de Anzales; téjala floja.", "La arena cuando baja el agua; téjala floja.",
			`label: Niebla,  letter: N, colour: "#c9ccc2"`, `label: Duna,    letter: D, colour: "#d9c9a3"`,
			`label: Añil,    letter: A, colour: "#2f4b73"`, `label: Niebla,  letter: N, colour: "#c9ccc2"`,
			"width: 24 cm", "width: 28 cm", "length: 160 cm", "length: 150 cm"}},
	{key: "estrellas", from: "runner", note: "Con la estrella de Urcala; su consejo lo permite.", figure: "Estrella",
		skill: "brocade", pay: 8000, lots: shore,
		swap: append(slices.Clone(shoreLabels), birdName, "Camino de las estrellas", birdNote, "La vuelta de las lanchas.",
			birdBand, "{figure: fit, chart: estrella, count: 5, spacing: 2.6 cm, margin: 2 cm}",
			"width: 38 cm", "width: 36 cm", "length: 120 cm", "length: 140 cm")},
	{key: "garza", from: "runner", note: "Falta que el consejo de Urcala diga que sí.", figure: "Garza", skill: "brocade", pay: 8400, lots: shore,
		swap: append(slices.Clone(shoreLabels), birdName, "Camino de la garza", birdNote, "La que espera en la orilla.",
			birdBand, "{figure: 10 cm, chart: garza, count: 2, spacing: 5 cm, margin: 2 cm}")},
	{key: "carnaval", from: "sash", note: "La misma faja, más corta y con los colores de la fiesta.", skill: "pick-up", pay: 4600,
		lots: map[string]string{"wine": "laguna", "shell": "concha", "moss": "óxido"},
		swap: []string{"Faja de marea", "Faja de carnaval", `label: Vino,   letter: V, colour: "#6d2237"`, `label: Laguna, letter: L, colour: "#2f6f70"`,
			`label: Musgo,  letter: M, colour: "#5b6a38"`, `label: Óxido,  letter: O, colour: "#a2502a"`,
			"length: 200 cm", "length: 160 cm", "repeat: 16", "repeat: 12"}},
	{key: "escuela", from: "bag", note: "Para cuadernos: más angosto.", skill: "weave", pay: 6400,
		lots: map[string]string{"earth": "crema", "maize": "azul", "teal": "laguna", "rust": "coral"},
		swap: append(slices.Clone(ownStrap), "Morral de la feria", "Morral de escuela", `label: Tierra,  letter: T, colour: "#5a4132"`, `label: Crema,   letter: C, colour: "#efe3c4"`,
			`label: Maíz,    letter: M, colour: "#d8a93c"`, `label: Azul,    letter: A, colour: "#35588a"`,
			`label: Óxido,   letter: O, colour: "#a2502a"`, `label: Coral,   letter: R, colour: "#c75f4a"`,
			"width: 30 cm", "width: 26 cm", "length: 68 cm", "length: 60 cm", "{woven: 62 cm}", "{woven: 54 cm}")},
	{key: "cuna", from: "blanket", note: "Dos lienzos, sin negro en el centro.", skill: "weave", pay: 4600,
		lots: map[string]string{"charcoal": "vellón", "fleece": "carbón", "madder": "rubia", "lichen": "liquen"},
		swap: []string{"Cobija de invierno", "Cobija de cuna", `label: Carbón, letter: C, colour: "#3a3735"`, `label: Vellón, letter: V, colour: "#e9e1d0"`,
			`fleece:   {label: Vellón, letter: V, colour: "#e9e1d0"`, `fleece:   {label: Carbón, letter: C, colour: "#3a3735"`,
			"count: 4\n", "count: 2\n", "length: 200 cm", "length: 110 cm", "fringe: 6 cm", "fringe: 4 cm"}},
	{key: "barra", from: "runner", note: "Individuales de mesa; sólo la ola y la flor.", skill: "brocade", pay: 4700, lots: shore,
		swap: append(slices.Clone(shoreLabels), birdName, "Individual de la barra", birdNote, "La ola entra y la flor se queda.",
			"          - "+birdBand+"\n          - {woven: 1.5 cm}\n", "",
			"width: 38 cm", "width: 32 cm", "length: 120 cm", "length: 46 cm", "count: 5, spacing: 2.6 cm", "count: 4, spacing: 2.6 cm")},
}

// cloth makes the design's record.
func (d design) cloth() (workshop.Cloth, error) {
	body, err := examples.Files.ReadFile(d.from + ".yaml")
	if err != nil {
		return workshop.Cloth{}, err
	}
	text := cut(string(body), "order:")
	if d.from != "blanket" && d.from != "class" { // these have frames of their own
		text = cut(text, "frame:")
	}
	for i := 0; i+1 < len(d.swap); i += 2 {
		if !strings.Contains(text, d.swap[i]) {
			return workshop.Cloth{}, fmt.Errorf("example %s has no %q to change for %s", d.from, d.swap[i], d.key)
		}
		text = strings.ReplaceAll(text, d.swap[i], d.swap[i+1])
	}
	if !strings.Contains(text, "chart: bird") {
		text = cut(text, "  bird:")
	}
	for _, f := range drawings {
		if f.figure.Name == d.figure {
			text = strings.Replace(text, "figures:\n", "figures:\n"+f.inCloth(), 1)
		}
	}
	for _, k := range known {
		text = strings.NewReplacer("  "+k.key+":\n", "  "+k.name+":\n", "chart: "+k.key+",", "chart: "+k.name+",", "chart: "+k.key+"}", "chart: "+k.name+"}").Replace(text)
	}
	if len(d.note) > 0 { // the example's opening comment tells of the example
		text = part(text, "urdir:") + cut(text, "urdir:")
	}
	name, _, _ := strings.Cut(part(text, "name:"), "\n")
	return workshop.Cloth{Name: strings.TrimPrefix(name, "name: "), Kind: d.from, Note: d.note, Text: strings.TrimRight(text, "\n") + "\n"}, nil
}

// block finds a field of a cloth file with all that is indented under it, and
// the comment right above it. The field is named with its indent and colon.
func block(text, field string) (from, to int) {
	from = strings.Index("\n"+text, "\n"+field)
	if from < 0 {
		return 0, 0
	}
	indent := len(field) - len(strings.TrimLeft(field, " "))
	to = from
	for i, line := range strings.SplitAfter(text[from:], "\n") {
		if i > 0 && strings.TrimSpace(line) != "" && len(line)-len(strings.TrimLeft(line, " ")) <= indent {
			break
		}
		to += len(line)
	}
	for {
		above := text[:max(from-1, 0)]
		start := strings.LastIndexByte(above, '\n') + 1
		if !strings.HasPrefix(text[start:from], "#") {
			return from, to
		}
		from = start
	}
}

func cut(text, field string) string {
	from, to := block(text, field)
	return text[:from] + text[to:]
}

// part is a field with what is under it, its comment left out.
func part(text, field string) string {
	from, to := block(text, field)
	out := text[from:to]
	return out[strings.Index("\n"+out, "\n"+field):]
}

// known is the figures of the examples, with the names the library has for
// them; the cloths call them so as well, for the library to say who may use
// them.
var known = []struct{ from, key, name string }{
	{"runner", "wave", "ola"},
	{"runner", "bird", "ave"},
	{"runner", "flower", "flor"},
	{"class", "boat", "barca"},
	{"sash", "fish", "pez"},
}

// library is every figure the workshop knows.
func library() (out []workshop.Figure, err error) {
	for _, k := range known {
		body, err := examples.Files.ReadFile(k.from + ".yaml")
		if err != nil {
			return nil, err
		}
		out = append(out, figureOf(part(string(body), "  "+k.key+":"), k.name))
	}
	for _, d := range drawings {
		f := d.figure
		f.Text = d.text()
		out = append(out, f)
	}
	return out, nil
}

// figureOf makes a library figure of its part of a cloth file.
func figureOf(text, name string) workshop.Figure {
	f := workshop.Figure{Name: strings.ToUpper(name[:1]) + name[1:], Sale: "yes"}
	var b strings.Builder
	for i, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		line = strings.TrimPrefix(line, "    ")
		field, value, _ := strings.Cut(line, ": ")
		switch {
		case i == 0 || field == "sale" || strings.HasPrefix(line, "#"):
		case field == "origin":
			f.Origin = value
		case field == "meaning":
			f.Meaning = value
		default:
			b.WriteString(line + "\n")
		}
	}
	f.Text = b.String()
	return f
}

// text is the figure's part of a cloth file.
func (d drawn) text() string {
	return d.fields + "chart: |\n" + indent(strings.TrimPrefix(d.chart, "\n"), "  ")
}

// inCloth is the figure as it stands in a cloth file, with whose it is.
func (d drawn) inCloth() string {
	f := d.figure
	var b strings.Builder
	for _, x := range [][2]string{{"origin", f.Origin}, {"meaning", f.Meaning}, {"owner", f.Owner}, {"ask", f.Ask}, {"sale", f.Sale}} {
		fmt.Fprintf(&b, "%s: %s\n", x[0], x[1])
	}
	return "  " + strings.ToLower(f.Name) + ":\n" + indent(b.String()+d.text(), "    ")
}

func indent(text, by string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		b.WriteString(by + line)
	}
	return b.String()
}
