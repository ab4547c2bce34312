package check

import (
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier/analysis"
)

// FrameFactor is what second order makes of one check, by the bound that is in it and by the
// frame's own run under the same load: utilisations over that of first order, plain numbers.
type FrameFactor struct {
	ID      string  `json:"id"`
	Element string  `json:"element"`
	Bound   float64 `json:"bound"` // 1/(1 - N/Ncr), in the demand
	Frame   float64 `json:"frame"` // upright, on its whole stiffness
}

// frameFactors finds those of the governing checks whose bound is above amplifyFrom.
func (c *run) frameFactors() {
	for _, ref := range []CheckRef{c.out.Governing.Overall, c.out.Governing.Strength, c.out.Governing.Deflection} {
		at := slices.IndexFunc(c.worst.findings, func(f finding) bool {
			return f.id == ref.ID && f.element == ref.Element && (ref.Utilisation == nil || math.Abs(f.placed.Value-*ref.Utilisation) <= 1e-9*(1+f.placed.Value))
		})
		known := slices.ContainsFunc(c.out.Governing.SecondOrder, func(f FrameFactor) bool { return f.ID == ref.ID && f.Element == ref.Element })
		if at < 0 || known {
			continue
		}
		if bound, own, ok := c.frameFactor(&c.worst.findings[at]); ok {
			c.out.Governing.SecondOrder = append(c.out.Governing.SecondOrder, FrameFactor{ref.ID, ref.Element, bound, own})
		}
	}
}

// frameFactor returns what second order makes of a finding by its bound and by the frame's
// own run; not ok where there is no bound above amplifyFrom, no such run, or nothing to
// compare.
func (c *run) frameFactor(f *finding) (bound, own float64, ok bool) {
	if k := f.secondOrderFactor(); f.bent != nil || !isRaised(f) || k <= amplifyFrom || math.IsInf(f.placed.Value, 1) {
		return 0, 0, false
	}
	first, second, err := c.frameRun(f)
	if err != nil || !(first > traceOfUse) || math.IsInf(first, 1) {
		return 0, 0, false
	}
	return f.placed.Value / first, second / first, true
}

// frameRun returns the utilisation of a member's check in first order and by the frame's own
// run, upright and on its whole stiffness, under the governing load at its section.
func (c *run) frameRun(f *finding) (first, second float64, err error) {
	b, j := bender{run: c, model: f.model, outOfTrue: upright(c.d.Basis)}, f.plain()
	if f.limit != nil {
		at, _, err := b.moving(&f.placed, func(s *analysis.State) float64 { return j(s, nil) })
		return j(&f.placed.State, nil), at.Value, err
	}
	bend, err := f.model.analysis.Bend(&f.placed, b.scaleAt(f.placed.Combination.Level), analysis.Lean{})
	if err != nil {
		return 0, 0, err
	}
	s := bend.State(&f.placed)
	if strings.HasPrefix(f.id, "brace-") {
		moved := f.placed.State
		moved.N = s.N
		s = moved
	}
	return j(&f.placed.State, nil), j(&s, nil), nil
}

// plain returns the check of a finding without the bound of second order.
func (f *finding) plain() judge {
	kind, _, _ := strings.Cut(f.id, "-")
	switch {
	case f.limit != nil:
		return func(s *analysis.State, r *Recorder) float64 {
			return r.verdict(f.held.soft.factor()*math.Abs(f.moves(s)), f.limit.value, "mm", "")
		}
	case f.net != nil:
		return f.net.upTo(1)
	case kind == "brace":
		return judgeOf(f.id, f.by.by(f.model.tubes.braces[f.member]))
	case kind == "base":
		return f.ofFoot()
	}
	return judgeOf(f.id, f.by.by(f.model.tubes.of(kind == "post", f.member)).upTo(1))
}

// frameBound returns what the frame raises a check by at most under its load: with N/Ncr of
// no post above n, and of no rail above m, no movement of the frame takes more than n + m
// from its stiffness. What a load adds to the permanent ones moves by both.
func (b *bender) frameBound(p *analysis.Placed, moves bool) float64 {
	post, rail := b.ofCritical(p)
	n := post + rail
	if moves {
		n += b.model.tubes.leastCritical().ofCritical(b.permanent)
	}
	return amplificationAt(n)
}

// anyBound is frameBound under any load: the largest N/Ncr of all for the post, for the rail
// and for what permanent actions press.
func (b *bender) anyBound() float64 { return amplificationAt(3 * b.model.second) }

// leans reports whether the frame's own run raises a check by more than amplifyFrom and more
// than the bound in it. It is run where the bound of the whole frame asks for it.
func (b *bender) leans(f *finding) bool {
	if b.frameBound(&f.placed, f.limit != nil) <= math.Max(amplifyFrom, f.secondOrderFactor()) {
		return false
	}
	first, own, err := b.run.frameRun(f)
	return err != nil || own > f.placed.Value*(1+1e-9) && own > amplifyFrom*first && first > traceOfUse
}

// ofCritical returns the largest N/Ncr of any post and of any rail under a placed load.
func (b *bender) ofCritical(p *analysis.Placed) (post, rail float64) {
	pressed, t := b.model.analysis.Pressed(p), b.model.tubes
	for i, n := range pressed.Posts {
		post = math.Max(post, t.of(true, i).ofCritical(n))
	}
	return post, mostOfCritical(t.rails, pressed.Rails)
}
