package web

import (
	"bytes"
	"net/http"
	"os/exec"
	"strings"
	"testing"
)

// The workshop's address stands on every paper that goes to people outside, a line each,
// as another program reads it there (Poppler's pdftotext).
func TestPapers_address(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := recordForm(s.page("/settings", "head")).fields()
	form.Set("address", "  Calle de la Barca 7 \r\n\r\nMuelle Viejo\r\n")
	s.want("keep", s.post("/settings", "head", form), http.StatusSeeOther)
	pay := "/pay/" + s.ours["earner"]
	for _, path := range []string{"/quotes/" + s.ours["quote"] + "/quote.pdf", "/papers/" + s.ours["paper invoice"] + "/paper.pdf", "/papers/" + s.ours["paper receipt"] + "/paper.pdf",
		pay + "/slip.pdf?month=" + s.ours["month"], pay + "/slips/" + s.ours["payout"] + "/slip.pdf"} {
		got := s.get(path, "bookkeeper")
		s.want(path, got, http.StatusOK)
		text := wordsOn(t, got.Body.Bytes())
		for _, line := range []string{"Taller Mareas de Anzales", "Calle de la Barca 7", "Muelle Viejo"} {
			if !strings.Contains(text, line) {
				t.Errorf("%s does not say %q", path, line)
			}
		}
	}
	s.noFaults()
}

// wordsOn is the words on a PDF.
func wordsOn(tb testing.TB, pdf []byte) string {
	tb.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		tb.Fatal("no pdftotext to read the papers; install it, on Debian with: apt-get install --no-install-recommends poppler-utils")
	}
	run := exec.Command(program, "-layout", "-", "-")
	run.Stdin = bytes.NewReader(pdf)
	out, err := run.Output()
	if err != nil {
		tb.Fatal(err)
	}
	return string(out)
}
