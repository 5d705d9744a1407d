package demo

import "urdir/measure"

// far is how far a warp or a piece gets in the story of its order.
type far int

const (
	waiting far = iota
	given
	laid
	begun // a few centimetres told
	half  // half woven, told in bands
	ready // woven to the end, not yet taken back
	back
	paid
)

const (
	unfinished far = iota
	finished
	delivered
	returned
	repaired // and finished again
	redelivered
)

// want is a line of an order.
type want struct {
	cloth  string
	pieces int
	wishes string
}

// tint is how a yarn is to be dyed: a recipe and the colour that is wished for;
// a strength of zero is the recipe's own.
type tint struct {
	recipe   string
	strength measure.Ratio
	colour   string
}

// story is an order and what became of it by today. Days count from today; in
// work and pieces the last one stands for all that follow.
type story struct {
	customer   string
	taken, due int
	deposit    int64 // cents
	wishes     string
	lines      []want
	draft      bool
	noLots     bool
	dye        map[string]tint // yarns that are dyed for it
	work       []far
	pieces     []far
	unmeasured bool // weighed but not measured when finished
	cancelled  bool
}

var (
	carmine = tint{"cochineal-cotton", 0, "#b24a72"}
	moss    = tint{"pomegranate-iron-cotton", 0, "#6f6b4e"}
	gold    = tint{"marigold-cotton", 0, "#d2a032"}
	madder  = tint{"madder-wool", 0, "#9e3426"}
	weld    = tint{"weld-wool", 0, "#c9b234"}
)

var stories = []story{
	{customer: "boya", taken: -112, due: -60, deposit: 4000, lines: []want{{"bruma", 2, ""}}, work: []far{paid}, pieces: []far{delivered}},
	{customer: "ofelia", taken: -110, due: -50, deposit: 12000, wishes: "Cuello un dedo más ancho.", lines: []want{{"túnica", 1, ""}}, work: []far{paid}, pieces: []far{redelivered}},
	{customer: "escuela", taken: -108, due: -75, lines: []want{{"clase", 8, "Dejar las urdimbres montadas."}}, work: []far{paid}, pieces: []far{delivered}},
	{customer: "faro", taken: -104, due: -55, deposit: 9000, lines: []want{{"aves", 1, ""}}, work: []far{paid}, pieces: []far{delivered},
		dye: map[string]tint{"cochineal": carmine, "marigold": gold}},
	{customer: "marejada", taken: -100, due: -58, lines: []want{{"marea", 2, ""}}, work: []far{paid}, pieces: []far{delivered},
		dye: map[string]tint{"wine": carmine, "moss": moss}},
	{customer: "meson", taken: -98, due: -48, deposit: 6000, wishes: "Que aguanten el lavado de cada semana.", lines: []want{{"barra", 4, ""}}, work: []far{back}, pieces: []far{delivered}},
	{customer: "juncos", taken: -95, due: -20, deposit: 20000, lines: []want{{"invierno", 1, ""}}, work: []far{paid, paid, back}, pieces: []far{finished}},
	{customer: "sal", taken: -90, due: -30, deposit: 5000, lines: []want{{"feria", 4, ""}}, work: []far{paid}, pieces: []far{delivered, delivered, returned, delivered},
		dye: map[string]tint{"rust": {"madder-cotton", 0, "#a8502f"}, "maize": {"onion-cotton", 0.4, "#cf9440"}}},
	{customer: "botica", taken: -84, due: -25, lines: []want{{"bajamar", 3, ""}}, work: []far{paid}, pieces: []far{delivered}, unmeasured: true,
		dye: map[string]tint{"rose": {"avocado-cotton", 0, "#c3867c"}}},
	{customer: "museo", taken: -80, due: -12, wishes: "Con la historia de la estrella.", lines: []want{{"estrellas", 2, ""}}, cancelled: true},
	{customer: "coro", taken: -74, due: -3, deposit: 3000, lines: []want{{"carnaval", 2, ""}}, work: []far{back}, pieces: []far{delivered, finished}},
	{customer: "maren", taken: -66, due: 6, deposit: 7500, wishes: "Gift wrapped, please.", lines: []want{{"escuela", 2, ""}}, work: []far{back}, pieces: []far{finished, unfinished}},
	{customer: "coro", taken: -60, due: 10, lines: []want{{"marea", 3, ""}}, work: []far{ready}, dye: map[string]tint{"wine": carmine, "moss": moss}},
	{customer: "ofelia", taken: -55, due: 15, deposit: 15000, lines: []want{{"túnica", 2, "Una sin flores en el cuello, si se puede."}}, work: []far{half, laid}},
	{customer: "juncos", taken: -50, due: 12, deposit: 10000, lines: []want{{"cuna", 2, ""}}, work: []far{back, begun, laid, given},
		dye: map[string]tint{"madder": madder, "lichen": weld}},
	{customer: "faro", taken: -44, due: 20, deposit: 18000, lines: []want{{"aves", 2, ""}}, work: []far{half}},
	{customer: "boya", taken: -38, due: -1, deposit: 6000, lines: []want{{"bruma", 3, ""}}, work: []far{begun}},
	{customer: "marejada", taken: -33, due: 30, lines: []want{{"estrellas", 1, ""}}, work: []far{laid}},
	{customer: "sal", taken: -28, due: 34, deposit: 5000, lines: []want{{"feria", 3, ""}}, work: []far{given, given, waiting}},
	{customer: "maren", taken: -22, due: 40, deposit: 8000, lines: []want{{"carnaval", 2, ""}, {"bajamar", 2, "One for each of the twins."}}},
	{customer: "museo", taken: -18, due: 45, wishes: "Con la grana más viva.", lines: []want{{"aves", 2, ""}},
		dye: map[string]tint{"cochineal": {"cochineal-cotton", 0.12, "#a8305a"}, "marigold": gold}},
	{customer: "juncos", taken: -14, due: 60, deposit: 30000, lines: []want{{"invierno", 2, ""}},
		dye: map[string]tint{"madder": madder, "lichen": weld}},
	{customer: "maren", taken: -5, due: 55, lines: []want{{"garza", 1, ""}}, draft: true, noLots: true},
	{customer: "meson", taken: -4, due: 35, lines: []want{{"barra", 6, ""}}, noLots: true, dye: map[string]tint{"cochineal": carmine}},
	{customer: "botica", taken: -2, due: 50, lines: []want{{"bruma", 1, ""}, {"túnica", 1, ""}}, draft: true, noLots: true},
}
