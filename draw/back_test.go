package draw_test

import (
	"testing"

	"urdir/draw"
	"urdir/measure"
	"urdir/surface"
)

// One red end, one blue, all across: where the face shows red on a pick the back
// shows blue, for on every pick half the ends lie above the weft and half below.
func TestBack_showsTheOtherShed(t *testing.T) {
	p := planOf(t, `
urdir: 1
name: Bars
weft: red
picks: 6 /cm
yarns:
  red:  {colour: "#c02020", count: Ne 8/2}
  blue: {colour: "#2040b0", count: Ne 8/2}
warps:
  body: {sett: 30 /cm, stripes: [{alternate: [1 red, 1 blue], over: 40}]}
panels:
  body: {warp: body, length: 4 cm, bands: [{woven: rest}]}
`)
	const perEnd, perMM = 0.4, 20
	pan, w := p.Panels[0], p.Warps[0]
	perCM := perEnd * float64(w.Ends) / float64(pan.Width)
	side := func(back bool) func(end, pick int) string {
		high := measure.MM(4 * perCM)
		box := surface.Box{W: measure.MM(float64(w.Ends) * perEnd), H: high}
		px := picture(box.W, box.H, perMM, func(s surface.Surface) {
			draw.Part(s, box, p, draw.Detail{PerCM: perCM, Back: back})
		})
		perPick := float64(pan.Bands[0].Seen) / float64(pan.Bands[0].Picks)
		return func(end, pick int) string {
			return nearest(px.at(measure.MM((float64(end)+0.5)*perEnd), high-measure.MM((float64(pick)+0.5)*perPick*perCM)), palette(p))
		}
	}
	face, back := side(false), side(true)
	for pick := range 8 {
		for end := 4; end < w.Ends-4; end++ {
			f, b := face(end, pick), back(w.Ends-1-end, pick)
			if f == b {
				t.Fatalf("pick %d, end %d: both sides show %s", pick+1, end+1, f)
			}
		}
	}
}
