package surface_test

import (
	"fmt"
	"os"

	"urdir/surface"
)

// A line of 100 mm on a page of 120 mm.
func ExampleSVG() {
	s := surface.NewSVG(120, 10, "Ruler")
	s.Path(surface.Polyline(10, 5, 110, 5), surface.Line(surface.Black, 0.5))
	if _, err := s.WriteTo(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// <svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="10mm" viewBox="0 0 120 10" font-family="Andika, sans-serif" xml:space="preserve" role="img" aria-label="Ruler">
	// <path d="M10 5L110 5" fill="none" stroke="#000000" stroke-width="0.5" stroke-linecap="round" stroke-linejoin="round"/>
	// </svg>
}

// Black on white is the strongest contrast there is, 21 to 1 (WCAG 2.2).
func ExampleContrast() {
	fmt.Printf("%.0f\n", surface.Contrast(surface.Black, surface.White))
	// Output: 21
}
