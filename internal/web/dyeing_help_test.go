package web

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"

	"urdir/dye"
	"urdir/internal/workshop"
)

// photograph is a picture as a telephone takes it.
func photograph(w, h int) []byte {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{uint8(x), uint8(y), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// dyes names a dyeing of the demo in every state, and a photograph of one.
func (s *season) dyes(h *workshop.House, head workshop.Person) {
	for _, d := range must(h.Dyeings(ctx, head, workshop.Page{})).Items {
		what := "dyeing " + string(d.Value.State())
		if d.Value.State() == workshop.DyeBegun && d.Value.StagesDone() == len(d.Value.Days) {
			what = "dyeing drying"
		}
		if s.ours[what] == "" {
			s.ours[what] = d.ID
		}
	}
	s.ours["dyeing"] = s.ours["dyeing begun"]
	s.ours["picture"] = pictured(h, head, s.ours["dyeing"])
}

// pictured tells of a day of a dyeing that has begun, with a photograph, takes it
// back and gives the photograph's name: pictures are never taken away.
func pictured(h *workshop.House, p workshop.Person, id string) string {
	d := must(h.Dyeing(ctx, p, id))
	k := must(h.DoneStage(ctx, p, id, d.Revision, workshop.DyeFact{}, nil, &workshop.Picture{Kind: "image/jpeg", Body: photograph(8, 6)}))
	pic := k.Value.Facts[len(k.Value.Facts)-1].Picture
	must(h.UndoDyeing(ctx, p, id, k.Revision))
	return pic
}

// dyesToo has the second workshop dye a yarn of its order.
func (s *season) dyesToo(h *workshop.House, p workshop.Person) {
	set := must(h.Settings(ctx, p))
	set.Value.Pots = []workshop.Pot{{Name: "Olla ajena", Litres: 200}}
	must(h.SaveSettings(ctx, p, set))
	o := must(h.Order(ctx, p, s.theirs["order"]))
	w := o.Lines[0].Wants[0]
	class, _ := dye.FibreOf(w.Need.Fibre)
	recipe := map[dye.Fibre]string{dye.Cellulose: "madder-cotton", dye.Protein: "madder-wool"}[class]
	must(h.WishDye(ctx, p, o.ID, o.Lines[0].ID, o.Revision, map[string]workshop.Wish{w.Yarn: {Recipe: recipe}}))
	plan := must(h.ProposeDye(ctx, p, 10))
	d := must(h.AcceptDye(ctx, p, plan.Mark, 10))[0]
	bare := must(h.SaveLot(ctx, p, workshop.Kept[workshop.Lot]{Value: workshop.Lot{Label: "Ajena cruda", Colour: "#e9e1d0", Fibre: w.Need.Fibre, Count: w.Need.Count,
		Dye: workshop.LotDye{Undyed: true}}}))
	must(0, h.Receive(ctx, p, bare.ID, 50_000, workshop.Money{}, ""))
	d = must(h.BeginDyeing(ctx, p, d.ID, d.Revision, bare.ID, d.Value.Mass))
	s.theirs["dyeing"], s.theirs["picture"] = d.ID, pictured(h, p, d.ID)
}
