package plan

import (
	"urdir/check"
	"urdir/cloth"
	"urdir/figure"
	"urdir/measure"
	"urdir/warp"
	"urdir/warp/frame"
)

// Plan is everything needed to make an order. It is a value: the same Cloth
// gives the same Plan, byte for byte. Field names in JSON end in their unit;
// counts have none.
type Plan struct {
	Name     string         `json:"name"`
	Note     string         `json:"note,omitempty"`
	Customer string         `json:"customer,omitempty"`
	Due      string         `json:"due,omitempty"`
	Pieces   int            `json:"pieces"`
	Learners int            `json:"learners,omitempty"`
	Piece    Piece          `json:"piece"`
	Yarns    []YarnNeed     `json:"yarns"`
	Warps    []WarpPlan     `json:"warps"`
	Panels   []PanelPlan    `json:"panels"`
	Figures  []Chart        `json:"figures,omitempty"`
	Frame    *frame.Frame   `json:"frame,omitempty"`
	Kit      []KitNeed      `json:"kit,omitempty"`
	Cautions check.Problems `json:"-"`

	cloth Cloth // what was asked, for Explain
}

// Yarn finds a yarn by its key; nil if there is none.
func (p *Plan) Yarn(key string) *YarnNeed {
	for i := range p.Yarns {
		if p.Yarns[i].Key == key {
			return &p.Yarns[i]
		}
	}
	return nil
}

// Warp finds a warp by its key; nil if there is none.
func (p *Plan) Warp(key string) *WarpPlan {
	for i := range p.Warps {
		if p.Warps[i].Key == key {
			return &p.Warps[i]
		}
	}
	return nil
}

// Figure finds a figure by its key; nil if there is none.
func (p *Plan) Figure(key string) *Chart {
	for i := range p.Figures {
		if p.Figures[i].Key == key {
			return &p.Figures[i]
		}
	}
	return nil
}

// Piece is one finished piece.
type Piece struct {
	Join    Join          `json:"join"`
	Width   measure.CM    `json:"width_cm"`
	Length  measure.CM    `json:"length_cm"` // without fringes
	Overall measure.CM    `json:"overall_length_cm"`
	Area    measure.M2    `json:"area_m2"`
	Mass    measure.Gram  `json:"mass_g"`
	PerM2   measure.PerM2 `json:"weight_g_per_m2"` // of the cloth, without its fringes
	Hand    string        `json:"hand"`            // drapes, firm or stiff: see package cloth
	Panels  int           `json:"panels"`
}

// YarnNeed is one yarn: what it is, and how much of it goes where.
type YarnNeed struct {
	Key       string        `json:"key"`
	Label     string        `json:"label"`
	Letter    string        `json:"letter"`
	Hatch     int           `json:"hatch"` // number of the hatch that stands for the colour in grey
	Colour    string        `json:"colour"`
	Fibre     string        `json:"fibre,omitempty"`
	Count     string        `json:"count,omitempty"`
	Strands   int           `json:"strands"`
	StrandTex measure.Tex   `json:"strand_tex"`
	Tex       measure.Tex   `json:"end_tex"` // all strands of an end or pick
	Diameter  measure.MM    `json:"diameter_mm"`
	Measured  bool          `json:"diameter_measured"`
	Warp      measure.M     `json:"warp_m"` // ends and picks, all strands as one
	Weft      measure.M     `json:"weft_m"`
	Figure    measure.M     `json:"figure_m"`
	Spare     measure.M     `json:"spare_m"`
	Thread    measure.M     `json:"thread_m"` // every strand, spare included
	Mass      measure.Gram  `json:"mass_g"`
	Skein     measure.Gram  `json:"skein_g,omitempty"`
	Skeins    int           `json:"skeins,omitempty"`
	Left      measure.Gram  `json:"left_over_g,omitempty"`
	Dye       string        `json:"dye,omitempty"` // key of the recipe it is to be dyed by
	Share     measure.Ratio `json:"dyestuff_fraction,omitempty"`
	Balls     []Ball        `json:"balls,omitempty"` // to wind for the frame
}

// Ball is one size of ball to wind for a warp: doubled thread, ready to lay.
type Ball struct {
	Warp   string       `json:"warp"`
	Balls  int          `json:"balls"`
	Length measure.M    `json:"each_m"` // of the doubled thread
	Mass   measure.Gram `json:"each_g"`
}

// WarpPlan is one warp and how to lay it. If it is laid several times, every
// figure is for one laying.
type WarpPlan struct {
	Key       string         `json:"key"`
	Layings   int            `json:"layings"`
	Slots     []Slot         `json:"panels"` // what is woven on one laying, in order
	Sett      measure.PerCM  `json:"sett_per_cm"`
	Width     measure.CM     `json:"finished_width_cm"`
	LoomWidth measure.CM     `json:"loom_width_cm"`
	Wanted    measure.CM     `json:"wanted_width_cm"`
	Asked     measure.Count  `json:"ends_before_rounding"` // what that width takes
	Ends      int            `json:"ends"`
	Stripes   []warp.Laid    `json:"stripes"`
	Alike     bool           `json:"repeats_alike"`
	Rounding  measure.Count  `json:"largest_rounding_ends"`
	Windings  []warp.Winding `json:"windings"`
	Circuits  measure.Count  `json:"circuits"`
	Check     int            `json:"check_every_circuits"`
	Sheds     warp.Sheds     `json:"sheds"`
	Diameter  measure.MM     `json:"mean_diameter_mm"` // of the ends
	Cover     measure.Ratio  `json:"cover_fraction"`
	CoverKind string         `json:"cover_kind"`
	Length    WarpLength     `json:"length"`
	Frame     *frame.Frame   `json:"-"`
	Path      *frame.Path    `json:"path,omitempty"`
	Yarns     []WarpYarn     `json:"yarns"`
}

// Slot is a panel on a warp.
type Slot struct {
	Panel  string     `json:"panel"`
	Count  int        `json:"count"` // on one laying
	Woven  measure.CM `json:"woven_loom_cm"`
	TakeUp measure.CM `json:"take_up_cm"`
	High   measure.CM `json:"take_up_high_cm"`
	Fringe measure.CM `json:"fringe_loom_cm"`
}

// WarpLength is the length of an end. Lay is what to lay: the length for the
// high end of the take-up range, so that the warp is not short.
type WarpLength struct {
	Panels  measure.CM `json:"panels_cm"` // woven and open bands, as they lie on the loom
	TakeUp  measure.CM `json:"take_up_cm"`
	High    measure.CM `json:"take_up_high_cm"`
	Fringes measure.CM `json:"fringes_cm"`
	Between measure.CM `json:"between_cm"`
	Waste   measure.CM `json:"waste_cm"`
	Middle  measure.CM `json:"middle_cm"`
	Lay     measure.CM `json:"lay_cm"`
}

// WarpYarn is one yarn's part in one laying.
type WarpYarn struct {
	Yarn   string       `json:"yarn"`
	Ends   int          `json:"ends"`
	Length measure.M    `json:"length_m"`
	Mass   measure.Gram `json:"mass_g"`
}

// PanelPlan is one panel, from its first band on the loom to its last.
type PanelPlan struct {
	Key        string     `json:"key"`
	Count      int        `json:"count"` // in one piece
	Warp       string     `json:"warp"`
	Width      measure.CM `json:"width_cm"`       // seen in the piece
	Length     measure.CM `json:"length_cm"`      // seen in the piece
	Cut        measure.CM `json:"cut_width_cm"`   // seams included
	CutLength  measure.CM `json:"cut_length_cm"`  // hems and seams opened out, without fringes
	Fringes    measure.CM `json:"fringes_cm"`     // finished, of both ends
	LoomLength measure.CM `json:"loom_length_cm"` // woven and open, on the loom
	Picks      int        `json:"picks"`
	// What lies in one finished panel.
	End        measure.M    `json:"end_m"` // one end, fringes included
	WarpMass   measure.Gram `json:"warp_g"`
	WeftMass   measure.Gram `json:"weft_g"`
	FigureMass measure.Gram `json:"figures_g"`
	Mass       measure.Gram `json:"mass_g"`
	FringeMass measure.Gram `json:"fringes_g"` // part of warp_g
	Seam       Seam         `json:"seam"`
	Bands      []BandPlan   `json:"bands"`
	Tied       *TiedPlan    `json:"tied,omitempty"`
}

// BandPlan is one band. Positions run from the start of weaving.
type BandPlan struct {
	Kind       BandKind      `json:"kind"`
	Seen       measure.CM    `json:"seen_cm"`     // in the finished piece
	Made       measure.CM    `json:"finished_cm"` // hems and seams opened out
	Loom       measure.CM    `json:"loom_cm"`
	From       measure.CM    `json:"from_loom_cm"` // on the loom, fringes not counted
	To         measure.CM    `json:"to_loom_cm"`
	Begin      measure.CM    `json:"-"` // along the opened-out, finished panel; its cloth begins at 0
	Weft       string        `json:"weft,omitempty"`
	PicksPerCM measure.PerCM `json:"picks_per_cm,omitempty"`
	Picks      int           `json:"picks,omitempty"`
	TakeUp     TakeUp        `json:"take_up"`
	WeftLen    measure.M     `json:"weft_m,omitempty"`
	WeftMass   measure.Gram  `json:"weft_g,omitempty"`
	Under      measure.CM    `json:"turned_under_cm,omitempty"`
	Twist      measure.Ratio `json:"twist_fraction,omitempty"`
	Figure     *Placed       `json:"figure,omitempty"`

	at string // the field it was written at
}

// TakeUp is a band's take-up: the geometry's range, or what the workshop
// measured, shrunk toward it.
type TakeUp struct {
	Low      measure.Ratio  `json:"low_fraction"`
	Middle   measure.Ratio  `json:"middle_fraction"`
	High     measure.Ratio  `json:"high_fraction"`
	Measured bool           `json:"measured"`
	Geometry cloth.Geometry `json:"-"`
}

// Placed is a figure in a band.
type Placed struct {
	Key     string           `json:"key"`
	Upright int              `json:"times_along"`
	Turned  bool             `json:"turned"`
	First   int              `json:"room_first_end"` // of the ends it may stand on
	Room    int              `json:"room_ends"`
	Step    int              `json:"step_ends"` // it moves by: 2 keeps pairs whole
	Rows    int              `json:"rows"`
	Picks   int              `json:"picks"`
	Before  int              `json:"picks_before"` // plain picks in the band before the figure
	After   int              `json:"picks_after"`
	Layout  figure.Layout    `json:"layout"`
	Yarns   []figure.YarnUse `json:"yarns,omitempty"`
}

// Chart is a figure with what was reckoned of it.
type Chart struct {
	Key       string         `json:"key"`
	Chart     figure.Chart   `json:"-"`
	Kind      figure.Kind    `json:"kind"`
	Colours   []Colour       `json:"colours"` // symbol 1 of the reading first
	Columns   int            `json:"columns"`
	Rows      int            `json:"rows"`
	CellEnds  int            `json:"cell_ends"`
	CellPicks int            `json:"cell_picks"`
	Width     measure.CM     `json:"width_cm"`
	Height    measure.CM     `json:"height_cm"`
	Origin    string         `json:"origin,omitempty"`
	Meaning   string         `json:"meaning,omitempty"`
	Owner     string         `json:"owner,omitempty"`
	Sale      Sale           `json:"sale"`
	Reading   figure.Reading `json:"reading"`
}

// Colour is a sign of a chart and the yarn it stands for.
type Colour struct {
	Sign string `json:"sign"`
	Yarn string `json:"yarn"`
}

// KitNeed is something to pack.
type KitNeed struct {
	Name string `json:"name"`
	Each int    `json:"each"`
	All  int    `json:"all"`
}

// LayLength is how long an end is laid: round the frame's pegs if there is a
// frame, else just as long as needed.
func (w *WarpPlan) LayLength() measure.CM {
	if w.Path != nil {
		return w.Path.Length
	}
	return w.Length.Lay
}

// Spare is the share of yarn wound beyond what is reckoned.
func (p *Plan) Spare() measure.Ratio { return p.cloth.Spare }

// EndYarns names the yarn of each end from left to right, as indices into
// names.
func (w *WarpPlan) EndYarns() (ends []int, names []string) {
	return warp.Fitted{Stripes: w.Stripes, Ends: w.Ends}.Yarn()
}
