package cloth_test

import (
	"fmt"

	"urdir/cloth"
)

// Four towels of 34 inches took up 13 inches of warp (Interweave, Determining
// Warp Length).
func ExampleCrimp() {
	fmt.Printf("%.2f %%\n", 100*cloth.Crimp(136+13, 136))
	// Output: 9.56 %
}

// Ten inches finished, from cloth that loses a fifth, need twelve and a half;
// adding a fifth gives twelve, which is too short.
func ExampleLoom() {
	fmt.Println(cloth.Loom(10, 0.20), cloth.Finished(12, 0.20) < 10)
	// Output: 12.5 true
}

// Plain weave holds half as many ends as lie side by side (Ashenhurst); Taylor
// prints 156 an inch for 32s cotton.
func ExampleAshenhurst() {
	fmt.Println(cloth.Ashenhurst(156, 2, 2))
	// Output: 78
}
