package plan

import (
	"urdir/figure"
	"urdir/measure"
	"urdir/warp"
	"urdir/warp/frame"
	"urdir/yarn"
)

// Cloth is one cloth and one order: everything Make needs. Start from NewCloth
// and the other New functions, which hold the defaults: here zero means zero.
type Cloth struct {
	Name     string
	Note     string
	Customer string
	Due      string // a date as 2027-03-14, kept as written
	Pieces   int
	Learners int // a class: one warp and one kit for each

	Shrink   Shrinkage
	Picks    measure.PerCM // on the loom, where a band does not say its own
	Weft     string        // yarn key, where a band does not say its own
	Flatness measure.Ratio // how flat packed threads become, see package cloth
	Spare    measure.Ratio // yarn wound beyond what is reckoned
	Crimp    measure.Ratio // of the weft

	Yarns   []Yarn
	Figures []Figure
	Warps   []Warp
	Panels  []Panel
	Join    Join
	Frame   *frame.Frame
	Kit     []KitItem
}

// Shrinkage is what the cloth loses from loom state to finished.
type Shrinkage struct{ Length, Width measure.Ratio }

// Yarn is a yarn or lot of the cloth.
type Yarn struct {
	Key    string
	Label  string
	Letter string // stands for the colour where there is none
	Colour string // "#rrggbb"
	Fibre  string
	Spec   yarn.Spec
	Skein  measure.Gram  // mass of a skein as bought or dyed; 0 if not said
	Dye    string        // key of the recipe it is to be dyed by; empty for yarn as it is
	Share  measure.Ratio // of dyestuff, on the weight of fibre; 0: as the recipe says
}

// Figure is a chart with its story and its rules of use.
type Figure struct {
	Key     string
	Chart   figure.Chart
	Origin  string
	Meaning string
	Owner   string
	Sale    Sale
	Ask     string // who can agree
}

// Sale says whether a figure may go on something sold.
type Sale string

const (
	SaleYes Sale = "yes"
	SaleNo  Sale = "no"
	SaleAsk Sale = "ask"
)

// Warp is a stripe order and how it is laid.
type Warp struct {
	Key     string
	Sett    measure.PerCM
	Order   warp.Order
	Scale   bool // stripes in ends may be scaled to the width
	Balls   int  // balls held together at the frame
	Lay     Lay
	Waste   measure.CM // warp that cannot be woven, once a warp
	Between measure.CM // left between two panels on the same warp
	Heddle  measure.CM
	Check   int // circuits between two counts at the cross
	// What the workshop measured on finished pieces of this yarn and sett.
	MeasuredTakeUp measure.Ratio
	MeasuredPieces int
}

// Lay says how many panels share one laying of a warp.
type Lay string

const (
	LayTogether Lay = "together"  // all pieces on one warp
	LayPerPiece Lay = "per-piece" // one warp a piece (or learner)
	LayPerPanel Lay = "per-panel" // one warp a panel
)

// Panel is a loom width; a piece is one or more of them, sewn.
type Panel struct {
	Key    string
	Count  int // in one piece
	Warp   string
	Width  measure.CM // seen in the finished piece
	Length measure.CM // seen in the finished piece, without fringes
	Seam   Seam
	Bands  []BandItem
	Tied   *Tied // before dyeing; nil: nothing
}

// Seam is the cloth a panel loses in its seams, at each edge.
type Seam struct {
	Left   measure.CM `json:"left_cm"`
	Right  measure.CM `json:"right_cm"`
	Top    measure.CM `json:"top_cm"`
	Bottom measure.CM `json:"bottom_cm"`
}

// Join says how the panels of a piece lie.
type Join string

const (
	JoinSide  Join = "side"  // side by side
	JoinEnd   Join = "end"   // end to end
	JoinApart Join = "apart" // parts of one thing: a bag and its strap
)

// BandItem is a band, a repeated group of bands, or a mirrored group (laid
// forwards and back again without repeating its last item).
type BandItem struct {
	Band   *Band
	Repeat int
	Of     []BandItem
	Mirror []BandItem
}

// BandKind is what happens along the length.
type BandKind string

const (
	Woven   BandKind = "woven"
	Figured BandKind = "figure"
	Open    BandKind = "open"
	Hem     BandKind = "hem"
	Fringe  BandKind = "fringe"
	// SeamBand is added by Make for the cloth that an end seam takes.
	SeamBand BandKind = "seam"
)

// Band is one stretch along the length. Length is as seen in the finished
// piece; Rest takes up what the other bands leave.
type Band struct {
	Kind   BandKind
	Length measure.CM
	Rest   bool
	Weft   string
	Picks  measure.PerCM
	Under  measure.CM    // hem: turned in once more, out of sight
	Twist  measure.Ratio // fringe: what twisting takes up
	Place  Placement
}

// Placement puts a figure in a band.
type Placement struct {
	Figure  string
	Count   int // 0: as many as fit
	Spacing measure.CM
	Margin  measure.CM
	Mirror  bool // every other figure mirrored
	Upright int  // times the chart is repeated along the band
	Turned  bool // the figure stands on its head: the far end of a runner
}

// KitItem is something a learner or member gets beside yarn.
type KitItem struct {
	Name string
	Each int // a learner
	All  int // for the whole class
}
