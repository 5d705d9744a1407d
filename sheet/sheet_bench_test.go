package sheet_test

import (
	"io"
	"testing"

	"urdir/sheet"
)

// All sheets of the runner, with two brocade charts, as one document.
func BenchmarkPDF_runner(b *testing.B) {
	p := example(b, "runner")
	b.ReportAllocs()
	for b.Loop() {
		if err := sheet.PDF(io.Discard, p, sheet.Options{Language: "es", Paper: sheet.A4}); err != nil {
			b.Fatal(err)
		}
	}
}
