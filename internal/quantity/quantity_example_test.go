package quantity_test

import (
	"errors"
	"fmt"

	"example.com/stanchion/internal/quantity"
)

// The base moment of a lone post: a line load on a rail 42 in above its foot,
// over a width of 1.5 m. By hand: 50 lbf/ft = 50 × 4.44822/0.3048 = 729.7 N/m,
// 42 in = 1.0668 m, and 729.7 × 1.5 × 1.0668 = 1168 Nm.
func Example() {
	line, _ := quantity.Parse("50 lbf/ft", quantity.LineLoad)
	height, _ := quantity.Parse("3 ft 6 in", quantity.Length)
	width, _ := quantity.Parse("1500 mm", quantity.Length)
	moment := line * width * height
	fmt.Println(quantity.Format(moment, quantity.Moment, quantity.Metric))
	fmt.Println(quantity.Format(moment, quantity.Moment, quantity.US))
	fmt.Println(quantity.FormatIn(moment, "Nm", 0))
	// Output:
	// 1.168 kNm
	// 861 lbf-ft
	// 1168 Nm
}

// A bare number is refused with the spelling that is likely meant.
func ExampleParseValue() {
	_, err := quantity.ParseValue(int64(1100), quantity.Length, quantity.Metric)
	if e, ok := errors.AsType[*quantity.Error](err); ok {
		fmt.Println(e.What)
		fmt.Println("fix:", e.Fix)
	}
	// Output:
	// quantity has no unit: 1100
	// fix: write "1100 mm" if that is meant; units of a length: mm, m, cm, um, in, ft
}
