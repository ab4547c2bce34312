package check

import (
	"os"
	"slices"
	"testing"

	"example.com/stanchion/barrier"
)

// Base actions are listed of the ends, of the corners, of the posts beside gaps, and of what
// governs: contract of the result.
func TestFeetThatAreListed(t *testing.T) {
	for name, want := range map[string][]int{
		"sampling-platform": {1, 4, 5}, // start, corner, the last post before the wall
		"quay-gate":         {1, 4, 5, 8, 9, 11},
	} {
		data, err := os.ReadFile("../../testdata/" + name + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		d, err := barrier.Parse(name, data)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Run(d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var listed []int
		for _, a := range r.BaseActions {
			if !slices.Contains(listed, a.Post) {
				listed = append(listed, a.Post)
			}
		}
		for _, post := range want {
			if !slices.Contains(listed, post) {
				t.Errorf("%s: base actions of posts %v, want those of %v among them", name, listed, want)
				break
			}
		}
		for i := 1; i < len(listed); i++ {
			if listed[i] < listed[i-1] {
				t.Errorf("%s: base actions of posts %v are not in order", name, listed)
			}
		}
	}
}
