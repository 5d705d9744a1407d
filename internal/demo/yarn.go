package demo

import (
	"urdir/internal/workshop"
	"urdir/measure"
)

// skeins is a lot with what came in of it. Days count from today.
type skeins struct {
	key      string
	lot      workshop.Lot
	received measure.Gram
	dyed     int          // day it came out of the bath; 0 if it never was in one
	more     measure.Gram // came in later in the season
	spoiled  measure.Gram
}

// The yarn counts and skeins the workshop buys.
const (
	thick = "Ne 8/2"
	fine  = "Ne 16/2"
	soft  = "Nm 34/2"
	wool  = "Nm 6/2"
)

func cotton(label, letter, colour, count string, skein, reorder measure.Gram) workshop.Lot {
	return workshop.Lot{Label: label, Letter: letter, Colour: colour, Fibre: "cotton", Count: count, Skein: skein, Reorder: reorder}
}

func woollen(label, letter, colour string, reorder measure.Gram) workshop.Lot {
	return workshop.Lot{Label: label, Letter: letter, Colour: colour, Fibre: "wool", Count: wool, Skein: 200, Reorder: reorder}
}

// undyed marks yarn that is bought to be dyed here.
func undyed(l workshop.Lot) workshop.Lot {
	l.Dye.Undyed = true
	return l
}

var lots = []skeins{
	{"arena", cotton("Arena", "A", "#e6dcc2", thick, 250, 1500), 6000, 0, 3000, 0},
	{"añil", cotton("Añil hondo", "Ñ", "#2b4470", thick, 250, 400), 1500, -116, 0, 0},
	{"grana", cotton("Grana", "G", "#8f2438", thick, 100, 250), 300, -116, 0, 0},
	{"caléndula", cotton("Caléndula", "C", "#d39a2f", thick, 100, 150), 400, -115, 0, 20},
	{"nogal", cotton("Nogal", "N", "#5a4132", thick, 250, 1000), 5000, -115, 0, 0},
	{"nogal-hondo", cotton("Nogal hondo", "NH", "#3f2e25", thick, 250, 500), 450, -70, 0, 0},
	{"maíz", cotton("Maíz", "M", "#d8a93c", thick, 250, 200), 750, 0, 0, 0},
	{"laguna", cotton("Laguna", "L", "#2f6f70", thick, 250, 500), 2000, -113, 0, 35},
	{"óxido", cotton("Óxido", "O", "#a2502a", thick, 250, 800), 1000, -112, 0, 0},
	{"vino", cotton("Vino", "V", "#6d2237", thick, 250, 400), 2000, -114, 0, 0},
	{"concha", cotton("Concha", "CH", "#efe4d0", thick, 250, 500), 2000, 0, 0, 0},
	{"musgo", cotton("Musgo", "MU", "#5b6a38", thick, 250, 200), 500, -111, 0, 0},
	{"crema", cotton("Crema", "CR", "#efe3c4", thick, 250, 800), 4000, 0, 1000, 0},
	{"azul", cotton("Azul", "AZ", "#35588a", thick, 250, 300), 750, 0, 0, 0},
	{"coral", cotton("Coral", "R", "#c75f4a", thick, 100, 100), 400, -110, 0, 0},

	{"niebla", cotton("Niebla", "N", "#c9ccc2", soft, 100, 500), 2000, 0, 0, 0},
	{"pizarra", cotton("Pizarra", "P", "#56626b", soft, 100, 150), 500, 0, 0, 0},
	{"añil-fino", cotton("Añil", "Ñ", "#2f4b73", soft, 100, 100), 400, -114, 0, 0},
	{"rosa", cotton("Palo de rosa", "R", "#b87d78", soft, 100, 100), 200, -108, 0, 12},
	{"duna", cotton("Duna", "D", "#d9c9a3", soft, 100, 400), 2500, 0, 0, 0},

	{"tinta", cotton("Tinta", "T", "#2a2f45", fine, 250, 500), 2000, 0, 0, 0},
	{"ladrillo", cotton("Ladrillo", "L", "#a3472f", fine, 250, 250), 500, -107, 0, 0},
	{"paja", cotton("Paja", "P", "#d9bd7a", fine, 250, 100), 250, -106, 0, 0},

	{"crudo", undyed(cotton("Algodón crudo", "AC", "#e9e1d0", thick, 250, 2000)), 6000, 0, 4000, 0},
	{"crudo-suave", undyed(cotton("Algodón peinado", "AP", "#ebe5d8", soft, 100, 300)), 1500, 0, 0, 0},
	{"lana-cruda", undyed(woollen("Lana lavada", "LL", "#e4dac4", 1500)), 9000, 0, 0, 0},

	{"carbón", woollen("Carbón", "C", "#3a3735", 2000), 3500, 0, 0, 0},
	{"vellón", woollen("Vellón", "V", "#e9e1d0", 1000), 4000, 0, 0, 0},
	{"rubia", woollen("Rubia", "R", "#a5482f", 800), 1600, -105, 0, 0},
	{"liquen", woollen("Liquen", "L", "#8d8a4a", 600), 2400, -104, 0, 0},
}
