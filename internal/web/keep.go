package web

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"time"

	"urdir/internal/workshop"
)

// What the designer keeps: drafts by itself, versions when asked to.

// keepWords are the words the script that keeps needs; what stands in braces it
// fills in itself.
var keepWords = []string{"keep-same", "keep-unsaved", "keep-kept", "keep-away", "keep-away-unsaved", "keep-saving", "keep-saved", "keep-refused", "keep-signed-out",
	"keep-full", "keep-unread", "keep-away-save", "keep-mine", "keep-found-at", "keep-found-open", "keep-thrown", "keep-other", "keep-other-now", "keep-behind"}

// answer sends what a script asked for.
func (v *visit) answer(status int, body any) error {
	b, err := json.Marshal(body)
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "application/json")
	v.w.WriteHeader(status)
	_, _ = v.w.Write(b) // the browser went away
	return nil
}

// byScript says whether a script asked, and not a form.
func (v *visit) byScript() bool { return v.r.Header.Get("Accept") == "application/json" }

// desksJSON is who works on a cloth, as the designer's script takes it.
type desksJSON struct {
	Newest struct {
		Version int    `json:"version"`
		By      string `json:"by"`
		At      string `json:"at"` // in words
	} `json:"newest"`
	Mine   *draftJSON  `json:"mine"`
	Others []draftJSON `json:"others"`
}

type draftJSON struct {
	By      string    `json:"by"`
	Since   time.Time `json:"since"`
	At      time.Time `json:"at"`
	Active  bool      `json:"active"`
	Version int       `json:"version,omitempty"`
	Text    string    `json:"text,omitempty"` // of her own
	Desk    string    `json:"desk,omitempty"`
	Step    int       `json:"step,omitempty"`
}

func (v *visit) desksJSON(d workshop.Desks) (out desksJSON) {
	out.Newest.Version, out.Newest.By, out.Newest.At = d.Newest.N, d.Newest.By, v.Date(d.Newest.At)
	out.Others = []draftJSON{} // an empty list, and not nothing, for scripts
	for _, o := range d.Others {
		out.Others = append(out.Others, draftJSON{By: o.By, Since: o.Since, At: o.At, Active: v.Active(o)})
	}
	if m := d.Mine; m != nil {
		out.Mine = &draftJSON{By: m.By, Since: m.Since, At: m.At, Version: m.Version, Text: m.Text, Desk: m.Mark.Desk, Step: m.Mark.Step}
	}
	return out
}

// atWork is how long after the last change someone counts as designing still.
const atWork = 5 * time.Minute

// Active says whether someone is designing now.
func (v *visit) Active(d workshop.Draft) bool { return v.s.house.Now().Sub(d.At) < atWork }

// Moment writes a time of today as the clock shows it, another with its date.
func (v *visit) Moment(t time.Time) string {
	now := v.s.house.Now()
	t = t.In(now.Location())
	if t.Format(time.DateOnly) == now.Format(time.DateOnly) {
		return t.Format("15:04")
	}
	return v.Words.Date(t) + ", " + t.Format("15:04")
}

// draftState tells the designer's script who works on the cloth.
func draftState(v *visit) error {
	d, err := v.s.house.Drafts(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.answer(http.StatusOK, v.desksJSON(d))
}

// saveDraft keeps a step of the designer's. A draft of another page of the same
// person's is a conflict, answered with that draft.
func saveDraft(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	d := workshop.Draft{Cloth: id, Version: f.whole("version"), Text: f.text("text"), Mark: workshop.Mark{Desk: f.text("desk"), Step: f.whole("step")}}
	read := workshop.Mark{Desk: f.text("read-desk"), Step: f.whole("read-step")}
	if err = f.err(); err != nil {
		return err
	}
	out, err := v.s.house.SaveDraft(v.r.Context(), v.Person, d, read)
	if workshop.CodeOf(err) == workshop.Conflict {
		if out, err = v.s.house.Drafts(v.r.Context(), v.Person, id); err == nil {
			return v.answer(http.StatusConflict, v.desksJSON(out))
		}
	}
	if err != nil {
		return err
	}
	return v.answer(http.StatusOK, v.desksJSON(out))
}

func dropDraft(v *visit) error {
	id := v.r.PathValue("id")
	if err := v.s.house.DropDraft(v.r.Context(), v.Person, id); err != nil {
		return err
	}
	return v.kept("/cloths/"+id+"/design", "draft-dropped")
}

// kept ends an act of the designer's: a form is sent on, a script is told where
// to.
func (v *visit) kept(to, done string) error {
	if v.byScript() {
		return v.answer(http.StatusOK, map[string]string{"to": to + "?done=" + done})
	}
	return v.to(to, done)
}

// saveDesign makes a version of a design. If someone saved another in the
// meantime, what was designed is kept as a draft, and the page says what can be
// done.
func saveDesign(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	d := workshop.Design{Cloth: id, Version: f.whole("version"), Text: f.text("text"), Note: f.text("said")}
	if over := f.whole("over"); over > 0 {
		d.Version = over // knowing that there is that one
	}
	if err = f.err(); err != nil {
		return err
	}
	c, err := v.s.house.SaveDesign(v.r.Context(), v.Person, d)
	switch {
	case err == nil && v.byScript():
		return v.answer(http.StatusOK, map[string]int{"version": c.Value.Version})
	case err == nil:
		return v.to("/cloths/"+id, "version-saved")
	case v.byScript() && workshop.CodeOf(err) == workshop.Conflict:
		var now workshop.Desks
		if now, err = v.s.house.Drafts(v.r.Context(), v.Person, id); err != nil {
			return err
		}
		return v.answer(http.StatusConflict, v.desksJSON(now))
	}
	return v.designAgain(err, d)
}

// designAgain shows the designer with a design that was refused.
func (v *visit) designAgain(wrong error, d workshop.Design) error {
	var e *workshop.Error
	if !errors.As(wrong, &e) || e.Code != workshop.Invalid && e.Code != workshop.Conflict {
		return wrong
	}
	if e.Code == workshop.Conflict {
		if err := v.keepTyped(d); err != nil {
			return err
		}
	}
	view, err := v.designerView()
	if err != nil {
		return err
	}
	view.Text = d.Text
	if e.Code == workshop.Invalid {
		return v.again(wrong, "designer", v.designerTitle(view), view)
	}
	v.Title, v.Data = v.designerTitle(view), view
	return v.s.render(v, http.StatusConflict, "designer")
}

// keepTyped keeps what a form sent as the visitor's draft.
func (v *visit) keepTyped(d workshop.Design) error {
	now, err := v.s.house.Drafts(v.r.Context(), v.Person, d.Cloth)
	if err != nil {
		return err
	}
	var read workshop.Mark
	if now.Mine != nil {
		read = now.Mine.Mark
	}
	_, err = v.s.house.SaveDraft(v.r.Context(), v.Person, workshop.Draft{Cloth: d.Cloth, Version: min(max(1, d.Version), now.Newest.N), Text: d.Text,
		Mark: workshop.Mark{Desk: "form-" + rand.Text(), Step: 1}}, read)
	return err
}

// backTo makes an older version the newest.
func backTo(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	n, err := v.number("n")
	if err != nil {
		return err
	}
	if _, err := v.s.house.BackTo(v.r.Context(), v.Person, id, n, f.revision()); err != nil {
		return err
	}
	return v.to("/cloths/"+id, "back")
}

// branch makes a cloth of its own of a version, or of the text sent along.
func branch(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	n, err := v.number("n")
	if err != nil {
		return err
	}
	c, err := v.s.house.SaveBranch(v.r.Context(), v.Person, v.r.PathValue("id"), n, f.text("text"))
	if err != nil {
		return err
	}
	return v.kept("/cloths/"+c.ID, "branched")
}

// number is a number of the address.
func (v *visit) number(name string) (int, error) {
	n, err := strconv.Atoi(v.r.PathValue(name))
	if err != nil || n < 0 || n > 1e6 {
		return 0, &workshop.Error{Code: workshop.NotFound}
	}
	return n, nil
}

// worker sends the script that keeps the designer at hand without a line. It
// stands at the top so that all pages are in its reach.
func (s *server) worker(w http.ResponseWriter, r *http.Request) { s.assets["worker.js"].ifOther(w, r) }
