package web

import (
	"bytes"
	"compress/gzip"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"net/http"
	"strings"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/workshop"
	"urdir/measure"
)

// The member's own page: what she has in hand, and what she tells. It is written
// for a cheap telephone on a bad line: small, kept by the browser (worker.js), and
// what is told on it waits there until it can be sent (hand-queue.js).

// handWords are the words the page's scripts need.
var handWords = []string{"hand-waits", "hand-away", "hand-signed-out", "hand-other", "hand-read-of", "hand-drop",
	"hand-kind-laid", "hand-kind-woven", "hand-kind-place", "hand-kind-yarn", "hand-kind-ill", "hand-kind-well", "hand-kind-more"}

// handView is the page.
type handView struct {
	workshop.HandView
	Jobs []handJob
}

// handJob is a warp in her hands with what its part of the page needs.
type handJob struct {
	workshop.HandJob
	Steps   []bandStep
	Stripes []handStripe
	Picture string       // its address
	Steps10 []measure.CM // how far she may be next, to be told with one touch
	Held    []handLot
}

// handStripe is one stripe to be laid.
type handStripe struct {
	N      int
	Yarns  []handLot
	Ends   int
	Ticked bool
}

// handLot is a yarn as she knows it: its colour, its letter, and how much she has.
type handLot struct {
	ID, Letter, Label, Colour string
	Grams                     measure.Gram
}

// Next is the key of the sentence that says what is to be done now.
func (j handJob) Next() string {
	switch {
	case j.Value.State() == workshop.Given && j.HandJob.Stripes > 0 && j.HandJob.Stripes < len(j.Stripes):
		return "hand-next-stripe"
	case j.Value.State() == workshop.Given:
		return "hand-next-lay"
	case j.Value.Share() >= 0.98:
		return "hand-next-bring"
	}
	return "hand-next-weave"
}

// Band is the band she weaves now, or the last.
func (j handJob) Band() bandStep {
	for _, s := range j.Steps {
		if s.To > 0 && !s.Done {
			return s
		}
	}
	return bandStep{}
}

func handPage(v *visit) error { return v.handAgain(nil) }

func (v *visit) handAgain(wrong error) error {
	h, err := v.s.house.Hand(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	view := handView{HandView: h}
	for _, j := range h.Jobs {
		shown, failed := v.handJob(j)
		if failed != nil {
			return failed
		}
		view.Jobs = append(view.Jobs, shown)
	}
	if wrong != nil {
		return v.again(wrong, "hand", v.T("in-hand"), view)
	}
	v.Title, v.Data = v.T("in-hand"), view
	return v.light("hand")
}

func (v *visit) handJob(j workshop.HandJob) (handJob, error) {
	tag, err := pictureTag(j.Made)
	out := handJob{HandJob: j, Steps: steps(j.JobView), Picture: "/work/" + j.ID + "/small.jpg?v=" + tag}
	yarns := map[string]handLot{}
	for _, y := range j.Made.Plan.Yarns {
		yarns[y.Key] = handLot{Letter: y.Letter, Label: y.Label, Colour: y.Colour}
	}
	for i, s := range j.Warp.Stripes {
		row := handStripe{N: i + 1, Ends: s.Ends, Ticked: i < j.Stripes}
		for _, l := range s.Yarns {
			row.Yarns = append(row.Yarns, yarns[l.Yarn])
		}
		out.Stripes = append(out.Stripes, row)
	}
	for _, by := range []measure.CM{5, 10, 20} {
		if to := j.Value.Woven() + by; to < j.Value.Length {
			out.Steps10 = append(out.Steps10, measure.CM(int(to)))
		}
	}
	for _, s := range j.Bag {
		l := j.Lots[s.Lot].Value
		out.Held = append(out.Held, handLot{s.Lot, l.Letter, l.Label, l.Colour, gramsOf(s.Milligrams)})
	}
	return out, err
}

// TellKey is a key for a form that is sent without a script.
func (v *visit) TellKey() string { return keyPlace }

// keyPlace stands for keys until the page has its tag, which they are no part of.
const keyPlace = "kkkkkkkkkkkkkkkkkkkkkkkkkk"

// HandWords is what the scripts say, JSON.
func (v *visit) HandWords() (string, error) {
	out := map[string]string{}
	for _, k := range handWords {
		out[k] = v.T(k)
	}
	b, err := json.Marshal(out)
	return string(b), err
}

// light writes a page packed, and only if the browser has not the same already.
func (v *visit) light(name string) error {
	t := v.s.pages[name]
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "page", v); err != nil {
		return err
	}
	sum := sha256.Sum256(b.Bytes())
	tag := `"` + hex.EncodeToString(sum[:8]) + `"`
	h := v.w.Header()
	h.Set("ETag", tag)
	h.Set("Vary", "Accept-Encoding, Cookie")
	h.Set("Content-Language", v.Words.Base)
	if v.r.Header.Get("If-None-Match") == tag {
		v.w.WriteHeader(http.StatusNotModified)
		return nil
	}
	h.Set("Content-Type", "text/html; charset=utf-8")
	body := b.Bytes()
	for bytes.Contains(body, []byte(keyPlace)) {
		body = bytes.Replace(body, []byte(keyPlace), []byte(rand.Text()), 1)
	}
	v.packed(body)
	return nil
}

// packed sends a body, packed if the browser can unpack it.
func (v *visit) packed(body []byte) {
	if !strings.Contains(v.r.Header.Get("Accept-Encoding"), "gzip") {
		_, _ = v.w.Write(body) // the browser went away
		return
	}
	v.w.Header().Set("Content-Encoding", "gzip")
	_, _ = v.w.Write(pack(body))
}

func pack(body []byte) []byte {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression) // which is a level
	_, _ = z.Write(body)                                  // to memory
	_ = z.Close()
	return b.Bytes()
}

// telling reads what is told, from a script or a form.
func (f *form) telling() workshop.Telling {
	t := workshop.Telling{Account: f.text("account"), Key: f.text("key"), Device: f.text("device"), N: int64(f.whole("n")), Shown: f.text("shown"),
		Kind: workshop.TellingKind(f.text("kind")), Job: f.text("job"), CM: f.cm("cm"), Bands: f.whole("bands"), Stripes: f.whole("stripes"),
		Lot: f.text("lot"), Grams: f.grams("grams"), Until: f.text("until")}
	return t
}

// tellHand takes a telling: a script is answered, a form sent on.
func tellHand(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	t := f.telling()
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	if w, unknown := lang.For(set.Value.Language); unknown == nil {
		t.Why = w.T("hand-ill-why", nil)
	}
	say := func(ps check.Problems) string {
		var out []string
		for _, p := range append(f.ps, ps...) {
			out = append(out, v.Say(p))
		}
		if len(out) == 0 {
			return v.T("hand-refused")
		}
		return strings.Join(out, " ")
	}
	if f.ps.Failed() {
		t.Kind = "unread" // what cannot be read is refused, and the refusal kept
	}
	heard, err := v.s.house.TellHand(v.r.Context(), v.Person, t, say)
	switch {
	case v.byScript() && workshop.CodeOf(err) == workshop.Invalid:
		var e *workshop.Error
		errors.As(err, &e)
		if e.Problems[0].Code == workshop.OtherTells {
			return v.answer(http.StatusConflict, nil)
		}
		return v.answer(http.StatusOK, map[string]any{"taken": false, "said": say(e.Problems)})
	case err != nil:
		return v.handAgain(err)
	case v.byScript():
		return v.answer(http.StatusOK, map[string]any{"taken": heard.Taken, "said": heard.Said})
	case !heard.Taken:
		v.Data = heard.Said
		return v.s.render(v, http.StatusUnprocessableEntity, "hand-refused")
	}
	return v.to("/hand", "told")
}

// heardSaying says that what a member said was heard.
func heardSaying(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if _, err = v.s.house.HeardSaying(v.r.Context(), v.Person, f.text("saying"), f.revision()); err != nil {
		return v.memberAgain(err)
	}
	return v.to("/members/"+v.r.PathValue("id"), "heard")
}

// manifest is what a telephone needs to put the workshop among its programs (W3C,
// Web Application Manifest).
func manifest(v *visit) error {
	words := v.Words
	if w, unknown := lang.For(v.r.URL.Query().Get("lang")); unknown == nil {
		words = w
	}
	type icon struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose"`
	}
	body, err := json.Marshal(map[string]any{
		"id": "/hand", "start_url": "/hand", "scope": "/", "display": "standalone", "lang": words.Base,
		"name": words.T("app-name", nil), "short_name": words.T("app-short", nil), "background_color": "#f7f1e6", "theme_color": "#f7f1e6",
		"icons": []icon{{v.Asset("icon-192.png"), "192x192", "image/png", "any maskable"}, {v.Asset("icon-512.png"), "512x512", "image/png", "any maskable"},
			{v.Asset("icon.svg"), "any", "image/svg+xml", "any maskable"}},
	})
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "application/manifest+json")
	v.w.Header().Set("Cache-Control", "public, max-age=86400")
	v.packed(body)
	return nil
}
