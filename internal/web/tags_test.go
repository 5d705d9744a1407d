package web

import (
	"bytes"
	"image/png"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"

	"urdir/internal/workshop"
)

// Tags as a printer draws them, at 200 dots an inch and in grey, are read by another
// library than the one that writes their codes (ISO/IEC 18004): each leads to its card.
// The PDF is drawn by Poppler.
func TestTags_printed(t *testing.T) {
	t.Parallel()
	s := newSiteWith(t, Options{Address: "https://taller.example"})
	var want []string
	query := ""
	for _, x := range must(s.house.Cards(ctx, s.people["head"], workshop.Page{})).Items {
		if x.Value.Card != "" && len(want) < 6 {
			want = append(want, "https://taller.example/p/"+x.Value.Card)
			query += "&piece=" + x.ID
		}
	}
	slices.Sort(want)
	for _, size := range []string{"sheet", "62x100", "100x62"} {
		got := s.get("/cards/tags.pdf?size="+size+query, "seller")
		s.want("tags", got, http.StatusOK)
		var read []string
		for _, page := range printed(t, got.Body.Bytes()) {
			read = append(read, codes(t, page)...)
		}
		slices.Sort(read)
		if !slices.Equal(read, want) {
			t.Errorf("%s: read %d codes %q, want %d", size, len(read), read, len(want))
		}
	}
	s.noFaults()
}

// printed is the pages of a PDF as pictures in grey.
func printed(tb testing.TB, pdf []byte) (pages [][]byte) {
	tb.Helper()
	program, err := exec.LookPath("pdftoppm")
	if err != nil {
		tb.Fatal("no pdftoppm to draw the tags; install it, on Debian with: apt-get install --no-install-recommends poppler-utils")
	}
	dir := tb.TempDir()
	run := exec.Command(program, "-r", "200", "-gray", "-png", "-", filepath.Join(dir, "page"))
	run.Stdin = bytes.NewReader(pdf)
	if out, err := run.CombinedOutput(); err != nil {
		tb.Fatalf("%v: %s", err, out)
	}
	for _, name := range must(filepath.Glob(filepath.Join(dir, "*.png"))) {
		pages = append(pages, must(os.ReadFile(name)))
	}
	return pages
}

// codes is what the codes on a page say.
func codes(tb testing.TB, page []byte) (texts []string) {
	tb.Helper()
	bits, err := gozxing.NewBinaryBitmapFromImage(must(png.Decode(bytes.NewReader(page))))
	if err != nil {
		tb.Fatal(err)
	}
	found, err := multi.NewQRCodeMultiReader().DecodeMultiple(bits, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	if err != nil {
		tb.Fatalf("no code on the page: %v", err)
	}
	for _, r := range found {
		texts = append(texts, r.GetText())
	}
	return texts
}
