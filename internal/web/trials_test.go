package web

import (
	"net/http"
	"strings"
	"testing"

	"urdir/internal/lang"
)

// A test is kept with a grade by eye, or rated from two colours: with a change of
// lightness alone of 6.8, the grey scale says 2 (ISO 105-A02).
func TestTrials(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := "/yarn/" + s.ours["lot"] + "/trials"
	s.says("none yet", s.get(page, "seller"), must(lang.For("es")).T("trials-empty", nil))
	s.want("by eye", s.post(page, "dyer", pairs("kind", "light", "how", "cuatro semanas al sol", "change", "3-4", "staining", "5", "day", "2027-01-05")), http.StatusSeeOther)
	s.want("by colour", s.post(page, "dyer", pairs("kind", "wash", "before", "50, 0, 0", "after", "56,8; 0; 0")), http.StatusSeeOther)
	text := strings.Join(strings.Fields(s.page(page, "seller").text), " ")
	for _, want := range []string{"cuatro semanas al sol", "3-4", "5 de enero de 2027", "medido 2"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the page: %s", want, text)
		}
	}
	story := must(s.house.Story(ctx, s.people["head"], s.ours["lot"]))
	if len(story.Trials) != 2 {
		t.Fatalf("%d tests", len(story.Trials))
	}
	for _, k := range story.Trials {
		if k.Value.Kind == "wash" && k.Value.Change.String() != "2" {
			t.Errorf("rated %v, want 2", k.Value.Change)
		}
	}
	for _, bad := range []struct {
		field string
		form  []string
	}{
		{"change", []string{"kind", "wash"}},
		{"change", []string{"kind", "wash", "change", "9"}},
		{"staining", []string{"kind", "wash", "staining", "dos"}},
		{"after", []string{"kind", "wash", "before", "50,0,0", "after", "rojo"}},
		{"before", []string{"kind", "wash", "after", "50,0,0"}},
		{"kind", []string{"kind", "fire", "change", "3"}},
		{"day", []string{"kind", "wash", "change", "3", "day", "ayer"}},
		{"how", []string{"kind", "wash", "change", "3", "how", strings.Repeat("ñ", 5000)}},
	} {
		what := strings.Join(bad.form, " ")[:min(60, len(strings.Join(bad.form, " ")))]
		got := s.post(page, "dyer", pairs(bad.form...))
		s.want(what, got, http.StatusUnprocessableEntity)
		s.beside(what, s.read(what, got), bad.field)
	}
	s.want("a seller", s.post(page, "seller", pairs("kind", "wash", "change", "3")), http.StatusForbidden)
	s.noFaults()
}
