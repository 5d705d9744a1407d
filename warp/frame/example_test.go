package frame_test

import (
	"fmt"

	"urdir/warp/frame"
)

// Four pegs of 2 cm in a row, 50 cm apart. Two ends are nearly twice the 150 cm
// from the first peg to the last, and a circumference of 6.3 cm: an end is about
// 153 cm, so a warp of 150 cm has 3 cm to spare.
func ExampleFrame_Find() {
	f := frame.Frame{
		Pegs: []frame.Peg{
			{ID: "A", X: 0, Diameter: 2}, {ID: "B", X: 50, Diameter: 2},
			{ID: "C", X: 100, Diameter: 2}, {ID: "D", X: 150, Diameter: 2},
		},
		Cross: [2]string{"B", "C"}, Start: []string{"A"}, Turn: []string{"D"},
	}
	path, problems := f.Find(150)
	fmt.Println(path.Pegs, problems.Failed())
	fmt.Printf("end %.1f cm, excess %.1f cm\n", float64(path.Length), float64(path.Excess))

	_, problems = f.Find(200)
	fmt.Printf("%s, longest %.1f cm\n", problems[0].Code, problems[0].Args["longest"])
	// Output:
	// [A B C D] false
	// end 153.2 cm, excess 3.2 cm
	// frame-too-short, longest 153.2 cm
}
