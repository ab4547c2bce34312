package solver

import (
	"fmt"
	"testing"
)

// postsAndRails returns a run of posts with two rails through, gripped free to
// turn at every post, its nodes numbered along the run, and the top rail.
func postsAndRails(posts int) (*Frame, []MemberID) {
	f := &Frame{}
	var last [2]NodeID
	var top []MemberID
	for i := range posts {
		x := 1.5 * float64(i)
		foot := f.Node(fmt.Sprintf("foot of post %d", i+1), Vec{x, 0, 0})
		f.Restrain(foot, UX, UY, UZ, RZ)
		f.Spring(foot, RX, 150e3)
		f.Spring(foot, RY, 150e3)
		below := foot
		for k, height := range [...]float64{0.6, 1.1} {
			post := f.Node(fmt.Sprintf("post %d at %g", i+1, height), Vec{x, 0, height})
			f.Member(tube(below, post))
			below = post
			rail := f.Node(fmt.Sprintf("rail at post %d", i+1), Vec{x, 0, height})
			f.Join(Joint{First: post, Second: rail, Ties: [6]Tie{Shared(), Shared(), Shared(), Shared(), Free, Free}})
			if i > 0 {
				m := f.Member(tube(last[k], rail))
				if k == 1 {
					top = append(top, m)
				}
			}
			last[k] = rail
		}
	}
	return f, top
}

var postCounts = [...]int{5, 9, 101, 1001}

func BenchmarkFactorise(b *testing.B) {
	for _, posts := range postCounts {
		f, _ := postsAndRails(posts)
		b.Run(fmt.Sprintf("posts=%d", posts), func(b *testing.B) {
			for b.Loop() {
				if _, err := f.Factorise(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkSolve solves one line load along the top rail.
func BenchmarkSolve(b *testing.B) {
	for _, posts := range postCounts {
		f, top := postsAndRails(posts)
		s, err := f.Factorise()
		if err != nil {
			b.Fatal(err)
		}
		c := uniform(f, 740, top...)
		b.Run(fmt.Sprintf("posts=%d", posts), func(b *testing.B) {
			for b.Loop() {
				s.Solve(c)
			}
		})
	}
}

// BenchmarkInfluence prepares the top rail for a load outwards and draws the
// lines of the moment and the shear in the middle of each of its bays.
func BenchmarkInfluence(b *testing.B) {
	for _, posts := range postCounts[:3] {
		f, top := postsAndRails(posts)
		b.Run(fmt.Sprintf("posts=%d", posts), func(b *testing.B) {
			for b.Loop() {
				s, err := f.Factorise()
				if err != nil {
					b.Fatal(err)
				}
				in := s.Influence(s.Chain(Row{Members: top, Share: 1}), Vec{0, 1, 0})
				for _, m := range top {
					in.Lines(s.Section(m, 0.75, MomentZ), s.Section(m, 0.75, ShearY))
				}
			}
		})
	}
}
