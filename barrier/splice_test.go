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
		got, ok := barrier.ProposeSplices(barrier.Run{Posts: c.posts}, c.stock)
		if ok != c.ok || !slices.Equal(got, c.want) {
			t.Errorf("%s: ProposeSplices(%v, %v) = %v, %v; want %v, %v", c.name, c.posts, c.stock, got, ok, c.want, c.ok)
		}
	}
}

// TestProposalKnowsItsEnds proposes for rails that run past their posts and into walls.
// Seven posts every 1.5 m; the arithmetic stands beside each case.
func TestProposalKnowsItsEnds(t *testing.T) {
	for _, c := range []struct {
		name  string
		run   barrier.Run
		stock float64
		want  []float64
		ok    bool
	}{
		// 9 m and 0.4 m beyond: 9.4 m of rail is one piece of 9.4 m, and 0.1 m less of stock needs two.
		{"overhang within stock", barrier.Run{Posts: equalBays(6, 1.5), Overhang: [2]float64{0, 0.4}}, 9.4, nil, true},
		// The first piece starts at -0.4 m and reaches 5.6 m; behind the post at 4.5 m 0.15 of 1.5 m is 4.72 m, on whole 10 mm.
		{"overhang beyond stock", barrier.Run{Posts: equalBays(6, 1.5), Overhang: [2]float64{0.4, 0}}, 6, []float64{4.72}, true},
		// Wall at 0 m: the same places as with a post there, so 5.78 m as without a wall.
		{"wall at the start", barrier.Run{Start: barrier.End{Wall: true}, Posts: equalBays(6, 1.5)[1:]}, 6, []float64{5.78}, true},
		// Two bays, both next to a wall: no inner one.
		{"walls and one post", barrier.Run{Start: barrier.End{Wall: true}, Posts: []float64{4}, End: barrier.End{Wall: true, X: 8}}, 6, nil, false},
	} {
		got, ok := barrier.ProposeSplices(c.run, c.stock)
		if ok != c.ok || !slices.Equal(got, c.want) {
			t.Errorf("%s: ProposeSplices = %v, %v; want %v, %v", c.name, got, ok, c.want, c.ok)
		}
	}
}

// TestProposedSplicesHold checks every rule of a proposal on random runs, that no
// proposal with fewer splices exists, and that where none is made none exists, among
// places at 0.05, 0.10 and 0.15 of a bay.
func TestProposedSplicesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := randomRun(t)
		supports := run.Supports()
		stock := rapid.Float64Range(2, 8).Draw(t, "stock")
		splices, ok := barrier.ProposeSplices(run, stock)
		start, end := run.RailEnds()
		fewest := fewestSplices(supports, start, end, stock)
		if ok != (fewest >= 0) || ok && len(splices) != fewest {
			t.Fatalf("ProposeSplices = %v, %v; the fewest by search are %d (-1: none)", splices, ok, fewest)
		}
		if !ok {
			return
		}
		from, lastBay := start, -1
		for _, x := range append(slices.Clone(splices), end) {
			if x-from > stock+1e-9 {
				t.Fatalf("the piece from %v to %v is longer than %v", from, x, stock)
			}
			from = x
		}
		for _, x := range splices {
			d := &barrier.Definition{Run: run}
			bay := d.BayOf(x)
			near := math.Min(x-supports[bay], supports[bay+1]-x)
			switch {
			case bay == 0 || bay == len(supports)-2:
				t.Fatalf("the splice at %v is in an end bay", x)
			case bay == lastBay:
				t.Fatalf("two splices are in bay %d", bay)
			case near > 0.15*d.BayLength(bay)+1e-9:
				t.Fatalf("the splice at %v is %v from the nearest post", x, near)
			}
			lastBay = bay
		}
		if mechanism(supports, splices, 0) {
			t.Fatalf("splices %v on supports at %v are a mechanism", splices, supports)
		}
	})
}

// TestSplicesInEveryBay holds the rule for splices that are given, one in a bay at most:
// the rail is a mechanism when every bay has one and no wall holds its rotation, and only
// then.
func TestSplicesInEveryBay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := randomRun(t)
		supports := run.Supports()
		held := 0
		if run.Start.Wall && rapid.Bool().Draw(t, "held") {
			held = 1
		}
		var splices []float64
		for i := 1; i < len(supports); i++ {
			if rapid.Bool().Draw(t, "splice") {
				share := rapid.Float64Range(0.1, 0.9).Draw(t, "share")
				splices = append(splices, supports[i-1]+share*(supports[i]-supports[i-1]))
			}
		}
		if got, want := mechanism(supports, splices, held), len(splices) == len(supports)-1 && held == 0; got != want {
			t.Fatalf("splices %v on supports at %v, %d held: mechanism %v, the rule says %v", splices, supports, held, got, want)
		}
	})
}

// randomRun returns a run of random bays with walls and overhangs where it draws them.
func randomRun(t *rapid.T) barrier.Run {
	posts := randomPosts(t)
	var run barrier.Run
	if run.Start.Wall = len(posts) > 1 && rapid.Bool().Draw(t, "wall at the start"); run.Start.Wall {
		run.Start.X, posts = posts[0], posts[1:]
	} else {
		run.Overhang[0] = randomOverhang(t)
	}
	if run.End.Wall = len(posts) > 1 && rapid.Bool().Draw(t, "wall at the end"); run.End.Wall {
		run.End.X, posts = posts[len(posts)-1], posts[:len(posts)-1]
	} else {
		run.Overhang[1] = randomOverhang(t)
	}
	run.Posts = posts
	return run
}

// randomOverhang returns none, or a length that the reader takes.
func randomOverhang(t *rapid.T) float64 {
	if rapid.Bool().Draw(t, "overhang") {
		return rapid.Float64Range(0.02, 0.5).Draw(t, "by")
	}
	return 0
}

func randomPosts(t *rapid.T) []float64 {
	bays := rapid.SliceOfN(rapid.Float64Range(0.8, 3), 1, 8).Draw(t, "bays")
	posts := []float64{rapid.Float64Range(-5, 5).Draw(t, "first")}
	for _, bay := range bays {
		posts = append(posts, posts[len(posts)-1]+bay)
	}
	return posts
}

// fewestSplices tries every set of places of the inner bays, one in a bay at most, of a rail
// from first to last, and
// returns the size of the smallest in pieces no longer than stock, -1 for none. Places
// are rounded to 10 mm towards their post, as a proposal's are.
func fewestSplices(posts []float64, first, last, stock float64) int {
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
	search(1, first, 0)
	return best
}

// mechanism says whether a rail held at its posts, with hinges at its splices, can move
// without bending: each piece is a straight line a + b x, zero at each post on it and
// meeting the next at the splice. It can if these conditions leave a line free, that is
// if their rank is below the number of unknowns. A wall that holds its rotation (held is 1)
// lets the first piece have no slope.
func mechanism(posts, splices []float64, held int) bool {
	unknowns := 2 * (len(splices) + 1)
	conditions := mat.NewDense(len(posts)+len(splices)+held, unknowns, nil)
	if held > 0 {
		conditions.Set(len(posts)+len(splices), 1, 1)
	}
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
