package clothfile_test

import (
	"slices"
	"strings"
	"testing"
)

// Each case spoils testdata/mat.yaml. Lines and columns are those an editor
// shows, counted from 1.
func TestRead_spoiledFields(t *testing.T) {
	tests := []struct{ name, old, new, want string }{
		{"field unknown", "    sett: 22 /cm", "    set: 22 /cm", "29:5 field-unknown"},
		{"unit wrong", "22 /cm", "22 /foot", "29:11 quantity-unit"},
		{"unit missing", "width: 20 cm", "width: 20", "42:12 quantity-no-unit"},
		{"unit missing in a list", "[30 cm, 0 cm]", "[30, 0 cm]", "54:9 quantity-no-unit"},
		{"unit of another quantity", "width: 20 cm", "width: 20 g", "42:12 quantity-unit"},
		{"number with two readings", "width: 20 cm", "width: 1,500 mm", "42:12 quantity-comma"},
		{"number not a number", "width: 20 cm", "width: .inf", "42:12 quantity-number"},
		{"number far too large", "width: 20 cm", "width: 99999999 cm", "42:12 quantity-range"},
		{"no sett", "    sett: 22 /cm\n", "", "28:3 sett-missing"},
		{"no name", "name: Petate chico\n", "", "1:1 name-missing"},
		{"no colour", "    colour: \"#a2502a\"\n", "", "13:3 colour-missing"},
		{"colour after a sign for notes", "\"#a2502a\"", "#a2502a", "16:5 value-missing"},
		{"colour not a colour", "\"#a2502a\"", "red", "16:13 colour-unread"},
		{"count without a system", "  sand:\n    count: Ne 8/2", "  sand:\n    count: 8/2", "10:12 count-no-system"},
		{"yarn unknown in a stripe", "          - 4 rust", "          - 4 rost", "35:13 yarn-unknown"},
		{"yarn unknown in the weft", "weft: sand", "weft: sond", "5:7 yarn-unknown"},
		{"yarn unknown in a chart", "{x: rust}", "{x: rost}", "21:5 yarn-unknown"},
		{"key not a name", "  rust:\n    count", "  2rust:\n    count", "13:3 key-bad"},
		{"fibre unknown", "    count: Ne 8/2\n    strands: 2\n    colour: \"#a2502a\"", "    count: Ne 8/2\n    fibre: stone\n    colour: \"#a2502a\"", "15:12 fibre-unknown"},
		{"stripes too wide", "      - 8 rust", "      - 300 rust", "32:5 stripes-too-wide"},
		{"stripes not as wide as the panel", "1 part sand", "30 sand", "32:5 stripes-width-differs"},
		{"stripe negative", "      - 8 rust", "      - -8 rust", "31:9 stripe-negative"},
		{"stripe of nothing", "      - 8 rust", "      - 0 cm rust", "31:9 stripe-zero"},
		{"stripe not a stripe", "      - 8 rust", "      - rust", "31:9 stripe-unread"},
		{"stripe size unread", "      - 8 rust", "      - eight rust", "31:9 stripe-size-unread"},
		{"repeat of nothing", "repeat: 3", "repeat: 0", "33:17 repeat-too-few"},
		{"repeat negative", "repeat: 3", "repeat: -3", "33:17 repeat-too-few"},
		{"repeat without a list", "        of:\n          - 4 rust\n          - 1 part sand\n", "", "33:9 group-empty"},
		{"repeat beyond all cloth", "repeat: 3", "repeat: 4611686018427387904", "33:17 out-of-range"},
		{"group of two kinds", "repeat: 3", "mirror: [1 rust]", "34:9 group-two-kinds"},
		{"alternation without a width", "      - 8 rust", "      - alternate: [1 rust, 1 sand]", "31:9 alternate-over"},
		{"alternation by nothing", "      - 8 rust", "      - {alternate: [0 rust, 1 sand], over: 8}", "31:22 lay-ends"},
		{"length negative", "length: 30 cm", "length: -30 cm", "43:13 size-out-of-range"},
		{"length absurd", "length: 30 cm", "length: 3000 m", "43:13 size-out-of-range"},
		{"band negative", "- {figure: 3 cm,", "- {figure: -3 cm,", "46:9 size-out-of-range"},
		{"band of nothing", "{figure: 3 cm,", "{figure: 0 cm,", "46:18 band-zero"},
		{"band without a unit", "{figure: 3 cm,", "{figure: 3,", "46:18 quantity-no-unit"},
		{"band of two kinds", "{woven: rest}", "{woven: rest, open: 3 cm}", "47:9 band-kind"},
		{"band of no kind", "{woven: rest}", "{weft: rust}", "47:9 band-kind"},
		{"band with a field of another kind", "{woven: rest}", "{woven: rest, chart: leaf}", "47:23 field-unknown"},
		{"bands repeated with a weft", "{woven: rest}", "{repeat: 2, of: [{woven: 3 cm}], weft: rust}", "47:42 field-unknown"},
		{"bands repeated without a list", "{woven: rest}", "{repeat: 2}", "47:9 group-empty"},
		{"bands mirrored without a list", "{woven: rest}", "{mirror: []}", "47:9 group-empty"},
		{"bands longer than the panel", "{figure: 3 cm,", "{figure: 33 cm,", "44:5 bands-too-long"},
		{"bands shorter than the panel", "{woven: rest}", "{woven: 3 cm}", "44:5 bands-do-not-add"},
		{"pieces none", "pieces: 2", "pieces: 0", "4:41 out-of-range"},
		{"pieces not whole", "pieces: 2", "pieces: 2.5", "4:41 number-not-whole"},
		{"strands too many", "    strands: 2\n    colour: \"#a2502a\"", "    strands: 99\n    colour: \"#a2502a\"", "15:14 out-of-range"},
		{"date not a date", "2027-05-02", "2/5/27", "4:49 date-unread"},
		{"figures wider than the band", "count: 2", "count: 20", "46:9 figure-wider"},
		{"figure taller than the band", "{figure: 3 cm,", "{figure: 0.5 cm,", "46:9 figure-taller"},
		{"figure unknown", "chart: leaf", "chart: loaf", "46:31 figure-unknown"},
		{"chart with a strange sign", "      xxx", "      xqx", "24:8 chart-symbol"},
		{"chart with a short row", "      xxx", "      xx", "24:7 chart-ragged"},
		{"chart in one line", "chart: |\n      .x.\n      xxx\n      .x.\n", "chart: .q.\n", "22:12 chart-symbol"},
		{"chart empty", "chart: |\n      .x.\n      xxx\n      .x.\n", "chart: |\n", "22:12 chart-empty"},
		{"chart a list", "chart: |\n      .x.\n      xxx\n      .x.\n", "chart: [.x.]\n", "22:5 value-not-value"},
		{"chart missing", "    chart: |\n      .x.\n      xxx\n      .x.\n", "", "19:3 chart-missing"},
		{"colour key a bracket", "{x: rust}", "{\"[\": rust}", "21:20 colours-key"},
		{"owner without a word on sale", "    colours: {x: rust}", "    colours: {x: rust}\n    owner: the weavers of the upper valley", "19:3 figure-sale-unsaid"},
		{"figure not to be sold", "    colours: {x: rust}", "    colours: {x: rust}\n    sale: no", "22:11 figure-not-for-sale"},
		{"choice unknown", "weft: sand", "weft: sand\njoin: diagonal", "6:7 value-choice"},
		{"yes or no unknown", "count: 2,", "alternate: perhaps,", "46:48 value-choice"},
		{"picks too close for the yarn", "picks: 5 /cm", "picks: 40 /cm", "45:9 picks-too-close"},
		{"picks missing", "picks: 5 /cm\n", "", "44:9 band-no-picks, 45:9 band-no-picks, 46:9 band-no-picks, 47:9 band-no-picks"},
		{"warp unknown", "warp: body", "warp: bodi", "41:11 warp-unknown"},
		{"frame too short", "length: 30 cm", "length: 300 cm", "28:3 frame-too-short"},
		{"frame with one cross peg", "[B, C]", "[B]", "59:3 frame-cross-two"},
		{"frame with an unknown peg", "[D, E, F]", "[D, X]", "61:13 peg-unknown"},
		{"peg without a place", "[30 cm, 0 cm]", "[30 cm]", "54:5 peg-place"},
		{"field twice", "weft: sand", "weft: sand\nweft: rust", "6:1 field-twice"},
		{"field three times", "weft: sand", "weft: sand\nweft: rust\nweft: sand", "6:1 field-twice, 7:1 field-twice"},
		{"alias", "name: Petate chico", "name: &a Petate\nnote: *a", "3:7 value-alias, 4:7 value-alias"},
		{"tag", "name: Petate chico", "name: !!str Petate", "3:7 value-alias"},
		{"merge key", "  rust:\n", "  rust:\n    <<: {label: Óxido}\n", "14:5 field-unknown"},
		{"value missing", "name: Petate chico", "name:", "3:1 value-missing"},
		{"list instead of a value", "name: Petate chico", "name: [Petate]", "3:1 value-not-value"},
		{"value instead of a list", "    border:\n      - 8 rust", "    border: 8 rust", "30:13 value-not-list"},
		{"list instead of fields", "order: {customer: Casa Marisma, pieces: 2, due: 2027-05-02}", "order: [2]", "4:1 value-not-mapping"},
		{"letters beyond the first 128 before it", "name: Petate chico\norder: {customer: Casa Marisma, pieces: 2,", "name: Petate chico\norder: {customer: Casa Añil, piezas: 2,", "4:30 field-unknown"},
		{"version of another program", "urdir: 1", "urdir: 2", "2:8 file-version"},
		{"version missing", "urdir: 1\n", "", "1:1 file-version"},
		{"version not a number", "urdir: 1", "urdir: one", "2:8 number-not-whole"},
		{"several at once, in the order of the file",
			"urdir: 1\n--\n22 /cm\n--\n    colours: {x: rust}\n    chart: |\n      .x.\n      xxx\n      .x.\n--\nwidth: 20 cm\n--\n  cross: [B, C]",
			"urdir: 3\n--\n22\n--\n    chart: |\n      .x.\n      xqx\n      .x.\n    colours: {x: rust}\n    sale: perhaps\n--\nwidht: 20 cm\n--\n  cross: [B]", "2:8 file-version, 23:8 chart-symbol, 26:11 value-choice, 30:11 quantity-no-unit, 43:5 field-unknown, 60:3 frame-cross-two"},
		{"several found in planning", "\"#a2502a\"\n--\npieces: 2\n--\n    warp: body", "\"red\"\n--\npieces: 0\n--\n    warp: bodi", "4:41 out-of-range, 16:13 colour-unread, 41:11 warp-unknown"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := strings.Join(problems(t, change(t, mat(t), tt.old, tt.new)), ", ")
			if got != tt.want {
				t.Errorf("\n got %s\nwant %s", got, tt.want)
			}
		})
	}
}

// What is wrong with the whole text.
func TestRead_spoiledText(t *testing.T) {
	good := mat(t)
	tests := []struct {
		name, text string
		want       []string
	}{
		{"empty", "", []string{"1:1 file-empty"}},
		{"only spaces and lines", " \n\t\n\n", []string{"1:1 file-empty"}},
		{"only a remark", "# nothing yet\n", []string{"1:1 file-empty"}},
		{"only a line of hyphens", "---\n", []string{"1:1 file-empty"}},
		{"not text", "\x89PNG\r\n\x1a\n\x00\x00", []string{"1:1 file-not-text"}},
		{"text of an old alphabet", "name: T\xfanica\n", []string{"1:1 file-not-text"}},
		{"a zero in it", "name: a\x00b\n", []string{"1:1 file-not-text"}},
		{"a single word", "hello\n", []string{"1:1 file-syntax"}},
		{"a list", "- urdir: 1\n", []string{"1:1 file-syntax"}},
		{"an anchor around all", "&a {urdir: 1}\n", []string{"1:1 file-syntax"}},
		{"two documents", good + "---\n" + good, []string{"62:1 file-two-documents"}},
		{"a frame of nothing", "urdir: 1\nframe:\n", []string{"2:1 value-missing"}},
		{"indented by a tab", "urdir: 1\norder:\n\tpieces: 2\n", []string{"3:1 file-syntax"}},
		{"bracket not closed", "urdir: 1\norder: {pieces: 2\nname: x\n", []string{"3:1 file-syntax"}},
		{"quotation mark not closed", "urdir: 1\nname: \"x\nweft: y\n", []string{"2:7 file-syntax"}},
		{"indented unlike its neighbours", "urdir: 1\norder:\n    pieces: 2\n  due: x\n", []string{"4:3 file-syntax"}},
		{"a mark of byte order before it", "\ufeff" + change(t, good, "22 /cm", "22"), []string{"29:11 quantity-no-unit"}},
		{"lines ended as elsewhere", strings.ReplaceAll(change(t, good, "22 /cm", "22"), "\n", "\r\n"), []string{"29:11 quantity-no-unit"}},
		{"chart with lines ended as elsewhere", strings.ReplaceAll(change(t, good, "      xxx", "      xqx"), "\n", "\r\n"), []string{"24:8 chart-symbol"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := problems(t, tt.text); !slices.Equal(got, tt.want) {
				t.Errorf("\n got %q\nwant %q", got, tt.want)
			}
		})
	}
}
