package barrier_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"example.com/stanchion/barrier"
)

// equalBays returns posts of n bays.
func equalBays(n int, bay float64) []float64 {
	posts := make([]float64, n+1)
	for i := range posts {
		posts[i] = float64(i) * bay
	}
	return posts
}

func TestProposeSplices(t *testing.T) {
	for _, c := range []struct {
		name  string
		posts []float64
		stock float64
		want  []float64
		ok    bool
	}{
		{"no longer than stock", equalBays(4, 1.5), 6, nil, true},
		{"one splice", equalBays(6, 1.5), 6, []float64{5.78}, true},                      // 0.15 of 1.5 m is 0.225 m before the post at 6 m
		{"nearer than 0.15 of a bay", []float64{0, 5.8, 7.8, 11}, 6, []float64{6}, true}, // 0.10 of 2 m behind the post at 5.8 m
		{"one inner bay takes one splice", equalBays(3, 5.4), 6, nil, false},
		{"two bays have no inner one", equalBays(2, 4), 6, nil, false},
		{"bays longer than stock", equalBays(9, 7), 6, nil, false},
		{"one post", []float64{0}, 6, nil, false},
	} {
		got, ok := barrier.ProposeSplices(c.posts, c.stock)
		if ok != c.ok || !slices.Equal(got, c.want) {
			t.Errorf("%s: ProposeSplices(%v, %v) = %v, %v; want %v, %v", c.name, c.posts, c.stock, got, ok, c.want, c.ok)
		}
	}
}

// TestProposedSplicesHold checks every rule of a proposal on random runs, that no
// proposal with fewer splices exists, and that where none is made none exists, among
// places at 0.05, 0.10 and 0.15 of a bay.
func TestProposedSplicesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		posts := randomPosts(t)
		stock := rapid.Float64Range(2, 8).Draw(t, "stock")
		splices, ok := barrier.ProposeSplices(posts, stock)
		fewest := fewestSplices(posts, stock)
		if ok != (fewest >= 0) || ok && len(splices) != fewest {
			t.Fatalf("ProposeSplices = %v, %v; the fewest by search are %d (-1: none)", splices, ok, fewest)
		}
		if !ok {
			return
		}
		from, lastBay := posts[0], -1
		for _, x := range append(slices.Clone(splices), posts[len(posts)-1]) {
			if x-from > stock+1e-9 {
				t.Fatalf("the piece from %v to %v is longer than %v", from, x, stock)
			}
			from = x
		}
		for _, x := range splices {
			d := &barrier.Definition{Run: barrier.Run{Posts: posts}}
			bay := d.BayOf(x)
			near := math.Min(x-posts[bay], posts[bay+1]-x)
			switch {
			case bay == 0 || bay == len(posts)-2:
				t.Fatalf("the splice at %v is in an end bay", x)
			case bay == lastBay:
				t.Fatalf("two splices are in bay %d", bay)
			case near > 0.15*d.BayLength(bay)+1e-9:
				t.Fatalf("the splice at %v is %v from the nearest post", x, near)
			}
			lastBay = bay
		}
		if mechanism(posts, splices) {
			t.Fatalf("splices %v on posts %v are a mechanism", splices, posts)
		}
	})
}

// TestSplicesInEveryBay holds the rule for splices that are given, one in a bay at most:
// the rail is a mechanism when every bay has one and only then.
func TestSplicesInEveryBay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		posts := randomPosts(t)
		var splices []float64
		for i := 1; i < len(posts); i++ {
			if rapid.Bool().Draw(t, "splice") {
				share := rapid.Float64Range(0.1, 0.9).Draw(t, "share")
				splices = append(splices, posts[i-1]+share*(posts[i]-posts[i-1]))
			}
		}
		if got, want := mechanism(posts, splices), len(splices) == len(posts)-1; got != want {
			t.Fatalf("splices %v on posts %v: mechanism %v, the rule says %v", splices, posts, got, want)
		}
	})
}

func randomPosts(t *rapid.T) []float64 {
	bays := rapid.SliceOfN(rapid.Float64Range(0.8, 3), 1, 8).Draw(t, "bays")
	posts := []float64{rapid.Float64Range(-5, 5).Draw(t, "first")}
	for _, bay := range bays {
		posts = append(posts, posts[len(posts)-1]+bay)
	}
	return posts
}

// fewestSplices tries every set of places of the inner bays, one in a bay at most, and
// returns the size of the smallest in pieces no longer than stock, -1 for none. Places
// are rounded to 10 mm towards their post, as a proposal's are.
func fewestSplices(posts []float64, stock float64) int {
	last := posts[len(posts)-1]
	best := -1
	var search func(bay int, from float64, n int)
	search = func(bay int, from float64, n int) {
		if last-from <= stock+1e-9 && (best < 0 || n < best) {
			best = n
		}
		if bay > len(posts)-3 {
			return
		}
		search(bay+1, from, n)
		for _, share := range []float64{0.05, 0.10, 0.15} {
			d := share * (posts[bay+1] - posts[bay])
			for _, x := range []float64{
				math.Floor((posts[bay]+d)*100+1e-9) / 100,
				math.Ceil((posts[bay+1]-d)*100-1e-9) / 100,
			} {
				apart := math.Min(x-posts[bay], posts[bay+1]-x) >= 0.05
				if apart && x-from <= stock+1e-9 {
					search(bay+1, x, n+1)
				}
			}
		}
	}
	search(1, posts[0], 0)
	return best
}

// mechanism says whether a rail held at its posts, with hinges at its splices, can move
// without bending: each piece is a straight line a + b x, zero at each post on it and
// meeting the next at the splice. It can if these conditions leave a line free, that is
// if their rank is below the number of unknowns.
func mechanism(posts, splices []float64) bool {
	unknowns := 2 * (len(splices) + 1)
	conditions := mat.NewDense(len(posts)+len(splices), unknowns, nil)
	for i, x := range posts {
		piece, _ := slices.BinarySearch(splices, x)
		conditions.Set(i, 2*piece, 1)
		conditions.Set(i, 2*piece+1, x)
	}
	for i, x := range splices {
		row := len(posts) + i
		conditions.SetRow(row, meeting(unknowns, 2*i, x))
	}
	var svd mat.SVD
	if !svd.Factorize(conditions, mat.SVDNone) {
		panic("no singular values")
	}
	return svd.Rank(1e-9) < unknowns
}

// meeting is the condition that the pieces whose unknowns begin at i and i+2 meet at x.
func meeting(unknowns, i int, x float64) []float64 {
	row := make([]float64, unknowns)
	row[i], row[i+1], row[i+2], row[i+3] = 1, x, -1, -x
	return row
}
