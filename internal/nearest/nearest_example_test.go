package nearest_test

import (
	"fmt"
	"strings"

	"example.com/stanchion/internal/nearest"
)

// "heigth" is one swap from height and, with another letter at its head, two edits from
// weight; no letter of spacing stands where one of its own does.
func Example() {
	fmt.Println(nearest.Names("heigth", []string{"spacing", "weight", "height"}, strings.ToLower, 3, 2))
	fmt.Println(nearest.Edits("heigth", "height"), nearest.Edits("heigth", "weight"))
	// Output:
	// [height weight]
	// 1 2
}
