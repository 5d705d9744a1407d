package web

import (
	"net/url"
	"strconv"

	"urdir/internal/workshop"
)

// insteadView is a cloth as it is beside the same with another lot.
type insteadView struct {
	workshop.Instead
	At, Back  string // this page's address, and where it came from
	Version   int    // asked for; 0 is the newest
	YarnAsked string
	LotAsked  string
}

// lotInCloth finds what a cloth's page asks to be looked at.
func (v *visit) lotInCloth() (view insteadView, err error) {
	id := v.r.PathValue("id")
	view = v.insteadAsked("/cloths/"+id+"/with", "/cloths/"+id)
	view.Version = v.version()
	view.Instead, err = v.s.house.LotInCloth(v.r.Context(), v.Person, id, view.Version, view.YarnAsked, view.LotAsked)
	return view, err
}

// lotInOrder finds what a line of an order asks to be looked at.
func (v *visit) lotInOrder() (view insteadView, err error) {
	id, line := v.r.PathValue("id"), v.r.PathValue("line")
	view = v.insteadAsked("/orders/"+id+"/"+line+"/with", "/orders/"+id)
	view.Instead, err = v.s.house.LotInOrder(v.r.Context(), v.Person, id, line, view.YarnAsked, view.LotAsked)
	return view, err
}

func (v *visit) insteadAsked(at, back string) insteadView {
	q := v.r.URL.Query()
	return insteadView{At: at, Back: back, YarnAsked: q.Get("yarn"), LotAsked: q.Get("lot")}
}

// Picture is the address of a picture of the cloth: "svg" of the whole, "png" under
// the lens; with the lot or as it is.
func (i insteadView) Picture(kind string, with bool) string {
	q := url.Values{"yarn": {i.YarnAsked}}
	if with {
		q.Set("lot", i.LotAsked)
	}
	if i.Version > 0 {
		q.Set("v", strconv.Itoa(i.Version))
	}
	return i.At + "." + kind + "?" + q.Encode()
}

// Quantity is how many pieces the line is.
func (i insteadView) Quantity() int { return max(1, i.Line.Quantity) }

// Enough says whether the lot will do for all of them.
func (i insteadView) Enough() bool { return i.Pieces >= i.Quantity() }

// Others are the lots chosen for the line's other yarns, to be kept.
func (i insteadView) Others() map[string]string {
	out := map[string]string{}
	for yarn, lot := range i.Line.Lots {
		if yarn != i.Yarn.Key {
			out[yarn] = lot
		}
	}
	return out
}

func (v *visit) insteadPage(view insteadView, err error) error {
	if err != nil {
		return err
	}
	return v.page("instead", v.T("instead")+": "+view.Cloth.Value.Name, view)
}

func clothWith(v *visit) error { return v.insteadPage(v.lotInCloth()) }

func orderWith(v *visit) error { return v.insteadPage(v.lotInOrder()) }

// drawInstead draws the cloth with the lot; as it is if no lot is asked for.
func (v *visit) drawInstead(view insteadView, err error) error {
	if err != nil {
		return err
	}
	return v.wholeCloth(view.drawn())
}

// lensInstead is the same under the lens, as pixels.
func (v *visit) lensInstead(view insteadView, err error) error {
	if err != nil {
		return err
	}
	return v.lens(view.drawn())
}

// drawn is what is to be drawn.
func (i insteadView) drawn() workshop.Planned {
	if i.LotAsked == "" {
		return i.Was
	}
	return i.Now
}

func clothWithPicture(v *visit) error { return v.drawInstead(v.lotInCloth()) }

func orderWithPicture(v *visit) error { return v.drawInstead(v.lotInOrder()) }

func clothWithLens(v *visit) error { return v.lensInstead(v.lotInCloth()) }

func orderWithLens(v *visit) error { return v.lensInstead(v.lotInOrder()) }
