package barrier

import (
	"cmp"
	"math"
	"slices"
)

// Stretch is a part of the run along which a rail can be one piece: it ends at the ends of
// the run, at corners, and at gaps.
type Stretch struct {
	From, To    float64 // x of the ends of its rails, m, overhangs included
	First, Last int     // its supports, from 0
}

// length returns the length of the rails, m.
func (s Stretch) length() float64 { return s.To - s.From }

// Stretches returns the stretches of the run from its start to its end.
func (r *Run) Stretches() []Stretch {
	supports := r.Supports()
	last := len(supports) - 1
	if last < 1 {
		return nil
	}
	from, to := r.RailEnds()
	var all []Stretch
	at := Stretch{From: from}
	for i, x := range supports[:last] {
		if post := i - r.PostSupport(0); i > at.First && post >= 0 && r.IsCorner(post) {
			at.To, at.Last = x, i
			all, at = append(all, at), Stretch{From: x, First: i}
		}
		if !r.isGapFrom(x) {
			continue
		}
		if i > at.First {
			at.To, at.Last = x, i
			all = append(all, at)
		}
		at = Stretch{From: supports[i+1], First: i + 1}
	}
	at.To, at.Last = to, last
	return append(all, at)
}

// stretchOf returns the index of the stretch in whose rails x (m) lies; where one ends and
// another begins, the first of them. It is -1 in a gap and off the run.
func stretchOf(stretches []Stretch, x float64) int {
	return slices.IndexFunc(stretches, func(s Stretch) bool { return x >= s.From-slack && x <= s.To+slack })
}

// IsGap reports whether a bay, from 0, is a gap or a gate: it has no rails.
func (r *Run) IsGap(bay int) bool {
	s := r.Supports()
	return bay >= 0 && bay < len(s)-1 && r.isGapFrom(s[bay])
}

// isGapFrom says whether a gap begins at x.
func (r *Run) isGapFrom(x float64) bool {
	i, _ := slices.BinarySearchFunc(r.Gaps, x-slack, func(g Gap, x float64) int { return cmp.Compare(g.From, x) })
	return i < len(r.Gaps) && r.Gaps[i].From <= x+slack
}

// railPiece is a length of rail without a splice.
type railPiece struct {
	from, to float64 // x of its ends, m
}

// length returns the length of the piece, m.
func (p railPiece) length() float64 { return p.to - p.from }

// cut returns the pieces of every rail, overhangs included, cut at the positions, and at
// corners and gaps.
func (r *Run) cut(positions []float64) []railPiece {
	pieces := make([]railPiece, 0, len(positions)+1)
	for _, s := range r.Stretches() {
		from := s.From
		for ; len(positions) > 0 && positions[0] < s.To; positions = positions[1:] {
			if x := positions[0]; x > s.From {
				pieces = append(pieces, railPiece{from, x})
				from = x
			}
		}
		pieces = append(pieces, railPiece{from, s.To})
	}
	return pieces
}

// longestStretch is the length of the longest rail that nothing but splices can divide, m.
func (r *Run) longestStretch() float64 {
	longest := 0.0
	for _, s := range r.Stretches() {
		longest = math.Max(longest, s.length())
	}
	return longest
}
