package workshop

import (
	"errors"
	"strings"
	"testing"
	"time"

	"urdir/internal/store"
)

// wider is the example scarf with another width, so that it is another text.
func wider(cm string) string { return strings.Replace(example("scarf"), "24 cm", cm+" cm", 1) }

func (s *shop) step(p Person, c Kept[Cloth], desk string, n int, text string, read Mark) (Desks, error) {
	return s.h.SaveDraft(ctx, p, Draft{Cloth: c.ID, Version: c.Value.Version, Text: text, Mark: Mark{desk, n}}, read)
}

// What the designer keeps by itself is no version; everyone sees that it is
// there, and whose; saving makes one version of it and takes it away.
func TestDrafts(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		c := s.cloth(example("scarf"))
		acts := s.acts()
		began := s.clock.now()
		for i := range 20 {
			must(s.step(s.seller, c, "one", i+1, wider([]string{"30", "31"}[i%2]), Mark{}))
			s.clock.pass(time.Minute)
		}
		if got := s.acts() - acts; got != 1 {
			t.Errorf("20 steps left %d lines in the history, want 1: that she began", got)
		}
		if vs := must(s.h.Versions(ctx, s.head, c.ID)); len(vs) != 1 {
			t.Errorf("%d versions after designing, want 1", len(vs))
		}
		theirs := must(s.h.Drafts(ctx, s.dyer, c.ID))
		if theirs.Mine != nil || len(theirs.Others) != 1 || theirs.Others[0].By != "Saturnina" || !theirs.Others[0].Since.Equal(began) || !theirs.Others[0].At.After(began) {
			t.Errorf("another sees %+v", theirs)
		}
		mine := must(s.h.Drafts(ctx, s.seller, c.ID))
		if mine.Mine == nil || mine.Mine.Text != wider("31") || len(mine.Others) != 0 {
			t.Errorf("she sees %+v", mine)
		}
		// The same again, and one overtaken on the way: nothing of it is taken.
		for _, n := range []int{20, 3} {
			if got := must(s.step(s.seller, c, "one", n, wider("99"), Mark{})); got.Mine.Text != wider("31") {
				t.Errorf("step %d come late took the place of step 20", n)
			}
		}
		must(s.step(s.dyer, c, "hers", 1, wider("40"), Mark{}))
		out := must(s.h.SaveDesign(ctx, s.seller, Design{Cloth: c.ID, Version: 1, Text: wider("31"), Note: " más ancha "}))
		vs := must(s.h.Versions(ctx, s.head, c.ID))
		if out.Value.Version != 2 || len(vs) != 2 || vs[0].Value.Note != "más ancha" || vs[0].Value.By != "Saturnina" || vs[0].Value.Text != wider("31") {
			t.Errorf("saved as %+v", vs[0])
		}
		now := must(s.h.Drafts(ctx, s.seller, c.ID))
		if now.Mine != nil || len(now.Others) != 1 || now.Others[0].By != "Delfina" || now.Newest.N != 2 {
			t.Errorf("after saving there is %+v, want the other's draft alone", now)
		}
		// A step of hers that was still on its way is what was saved: no draft.
		if got := must(s.step(s.seller, out, "one", 21, wider("31"), Mark{})); got.Mine != nil {
			t.Errorf("a step equal to the newest version is kept as a draft")
		}
	})
}

// Someone saved in the meantime: neither loses anything, whatever the second
// chooses.
func TestDrafts_twoPeople(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		c := s.cloth(example("scarf"))
		must(s.step(s.seller, c, "one", 1, wider("30"), Mark{}))
		must(s.step(s.dyer, c, "two", 1, wider("40"), Mark{}))
		must(s.h.SaveDesign(ctx, s.seller, Design{Cloth: c.ID, Version: 1, Text: wider("30")}))
		d := Design{Cloth: c.ID, Version: 1, Text: wider("40")}
		_, err := s.h.SaveDesign(ctx, s.dyer, d)
		var e *Error
		if !errors.As(err, &e) || e.Code != Conflict || e.Now.(Kept[Cloth]).Value.Text != wider("30") {
			t.Fatalf("the second's saving: %v, want a conflict with what the first saved", err)
		}
		if got := must(s.h.Drafts(ctx, s.dyer, c.ID)); got.Mine == nil || got.Mine.Text != wider("40") || got.Newest.By != "Saturnina" {
			t.Errorf("after the conflict the second's draft is %+v", got)
		}
		if got := must(s.h.Compare(ctx, s.dyer, c.ID, OwnDraft, 0)); got.Sides[0].Text != wider("40") || got.Sides[1].N != 2 || len(got.Changes) == 0 {
			t.Errorf("compared: %+v", got.Changes)
		}
		_, err = s.h.Compare(ctx, s.seller, c.ID, OwnDraft, 0)
		wantCode(t, "the draft of someone who has none", err, NotFound)

		branch := must(s.h.SaveBranch(ctx, s.dyer, c.ID, 1, wider("40")))
		if v := branch.Value; v.Text != wider("40") || v.Name != "Una tela (2)" || v.Version != 1 || v.From != (Origin{c.ID, "Una tela", 1}) {
			t.Errorf("kept as a branch: %q from %+v", v.Name, v.From)
		}
		if got := must(s.h.Drafts(ctx, s.dyer, c.ID)); got.Mine != nil {
			t.Error("kept as a branch and still a draft")
		}
		must(s.step(s.dyer, c, "two", 2, wider("41"), Mark{}))
		d = Design{Cloth: c.ID, Version: 2, Text: wider("41")}
		if on := must(s.h.SaveDesign(ctx, s.dyer, d)); on.Value.Version != 3 {
			t.Errorf("on top: version %d, want 3", on.Value.Version)
		}
		var texts []string
		for _, v := range must(s.h.Versions(ctx, s.head, c.ID)) {
			texts = append(texts, v.Value.Text)
		}
		if len(texts) != 3 || texts[0] != wider("41") || texts[1] != wider("30") {
			t.Errorf("versions: %d, want the second's, the first's, the old one", len(texts))
		}
	})
}

// One person at two desks: the second goes on from what the first left, and then
// the first is told. What is thrown away or replaced stays in the history.
func TestDrafts_twoDesks(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		c := s.cloth(example("scarf"))
		must(s.step(s.seller, c, "telephone", 1, wider("30"), Mark{}))
		_, err := s.step(s.seller, c, "desk", 1, wider("50"), Mark{})
		wantCode(t, "another desk that has not read it", err, Conflict)
		must(s.step(s.seller, c, "desk", 1, wider("31"), Mark{"telephone", 1}))
		_, err = s.step(s.seller, c, "telephone", 2, wider("32"), Mark{})
		var e *Error
		if !errors.As(err, &e) || e.Code != Conflict || e.Now.(Kept[Draft]).Value.Text != wider("31") {
			t.Fatalf("the first desk after that: %v, want a conflict with the second's", err)
		}
		must(s.step(s.seller, c, "telephone", 2, wider("32"), Mark{"desk", 1}))
		must(0, s.h.DropDraft(ctx, s.seller, c.ID))
		must(0, s.h.DropDraft(ctx, s.seller, c.ID)) // pressed twice
		if got := must(s.h.Drafts(ctx, s.seller, c.ID)); got.Mine != nil {
			t.Error("thrown away and still there")
		}
		kept := map[string]bool{}
		must(0, s.h.db.View(ctx, s.head.Workshop, func(tx *store.Tx) error {
			entries, err := tx.History("draft", draftID(c.ID, s.seller.Account), 0)
			for _, x := range entries {
				for _, cm := range []string{"30 cm", "31 cm", "32 cm"} {
					if strings.Contains(x.Before, "width: "+cm) {
						kept[cm] = true
					}
				}
			}
			return err
		}))
		if !kept["30 cm"] || !kept["31 cm"] || !kept["32 cm"] {
			t.Errorf("the history holds %v, want what each desk left", kept)
		}
	})
}

func TestDrafts_bad(t *testing.T) {
	s := newShop(t, file(t))
	c := s.cloth(example("scarf"))
	before := s.everything()
	for what, d := range map[string]struct {
		path, code string
		d          Draft
	}{
		"no text":            {"text", "file-empty", Draft{Cloth: c.ID, Version: 1, Text: " \n", Mark: Mark{"x", 1}}},
		"too long":           {"text", "text-long", Draft{Cloth: c.ID, Version: 1, Text: strings.Repeat("#", 2<<20), Mark: Mark{"x", 1}}},
		"no desk":            {"desk", "field-empty", Draft{Cloth: c.ID, Version: 1, Text: "x"}},
		"a version to come":  {"version", "out-of-range", Draft{Cloth: c.ID, Version: 2, Text: "x", Mark: Mark{"x", 1}}},
		"a version before 1": {"version", "out-of-range", Draft{Cloth: c.ID, Version: 0, Text: "x", Mark: Mark{"x", 1}}},
		"not text":           {"text", "file-not-text", Draft{Cloth: c.ID, Version: 1, Text: "a\x00b", Mark: Mark{"x", 1}}},
	} {
		_, err := s.h.SaveDraft(ctx, s.seller, d.d, Mark{})
		wantProblem(t, what, err, d.path, d.code)
	}
	_, err := s.h.SaveDraft(ctx, s.seller, Draft{Cloth: "x", Version: 1, Text: "x", Mark: Mark{"x", 1}}, Mark{})
	wantCode(t, "a cloth that is not", err, NotFound)
	_, err = s.h.SaveDesign(ctx, s.seller, Design{Cloth: c.ID, Version: 1, Text: " "})
	wantProblem(t, "an empty design", err, "text", "file-empty")
	_, err = s.h.SaveDesign(ctx, s.seller, Design{Cloth: c.ID, Version: 1, Text: "x", Note: strings.Repeat("a", 301)})
	wantProblem(t, "a long note", err, "said", "text-long")
	if s.everything() != before {
		t.Error("what was refused changed something")
	}
}

// Going back makes a version; a branch remembers where it comes from, also after
// it is changed.
func TestBackAndBranch(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		c := s.cloth(example("scarf"))
		c = must(s.h.SaveDesign(ctx, s.seller, Design{Cloth: c.ID, Version: 1, Text: wider("30")}))
		_, err := s.h.BackTo(ctx, s.dyer, c.ID, 1, c.Revision-1)
		wantCode(t, "going back from an old page", err, Conflict)
		_, err = s.h.BackTo(ctx, s.dyer, c.ID, 2, c.Revision)
		wantProblem(t, "going back to what is", err, "", "version-same")
		_, err = s.h.BackTo(ctx, s.dyer, c.ID, 7, c.Revision)
		wantCode(t, "going back to what never was", err, NotFound)
		c = must(s.h.BackTo(ctx, s.dyer, c.ID, 1, c.Revision))
		vs := must(s.h.Versions(ctx, s.head, c.ID))
		if len(vs) != 3 || vs[0].Value.Text != example("scarf") || vs[0].Value.Back != 1 || vs[1].Value.Text != wider("30") {
			t.Errorf("versions after going back: %d, the last back to %d", len(vs), vs[0].Value.Back)
		}
		for _, want := range []string{"Una tela (2)", "Una tela (3)"} {
			b := must(s.h.SaveBranch(ctx, s.seller, c.ID, 2, ""))
			if b.Value.Name != want || b.Value.Text != wider("30") || b.Value.From != (Origin{c.ID, "Una tela", 2}) {
				t.Errorf("branch %q from %+v, want %q from version 2", b.Value.Name, b.Value.From, want)
			}
			c2 := must(s.h.SaveBranch(ctx, s.seller, b.ID, 1, ""))
			if strings.Contains(c2.Value.Name, ") (") {
				t.Errorf("a branch of a branch is called %q", c2.Value.Name)
			}
			must(0, s.drop(c2)) // its name is free again
			b.Value.Note, b.Value.From = "otra", Origin{}
			b = must(s.h.SaveCloth(ctx, s.seller, b))
			var now Kept[Cloth]
			if now, _, err = s.h.Cloth(ctx, s.head, b.ID, 0); err != nil || now.Value.From.Version != 2 {
				t.Errorf("after a change it comes from %+v", now.Value.From)
			}
		}
		_, err = s.h.SaveBranch(ctx, s.seller, c.ID, 9, "")
		wantCode(t, "a branch of what never was", err, NotFound)
	})
}

// drop takes a cloth away, which the workshop itself never does.
func (s *shop) drop(c Kept[Cloth]) error {
	return s.h.update(ctx, s.head, "SaveCloth", func(tx *store.Tx) error { return tx.Remove("cloth", c.ID, c.Revision) })
}
