package barrier

import (
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
)

// gapDraft is a gap as far as it could be read.
type gapDraft struct {
	table
	Gap
	named string // "gap" or "gate"
}

// readGaps reads every [[gap]] and [[gate]], in the order in which they stand along the run.
// ok is false where there is a fault.
func (t table) readGaps() (gaps []gapDraft, ok bool) {
	ok = !t.misspelt("gap") && !t.misspelt("gate")
	for _, key := range []string{"gap", "gate"} {
		tables := t.children(key, gapTable, MaxGaps)
		ok = ok && (len(tables) > 0 || !t.has(key))
		for _, given := range tables {
			g := gapDraft{table: given, Gap: Gap{Gate: key == "gate"}, named: key}
			fromOK, toOK := g.require("from", `"3 m"`), g.require("to", `"4.5 m"`)
			if fromOK {
				g.From, fromOK = g.quantity("from", quantity.Length)
			}
			if toOK {
				g.To, toOK = g.quantity("to", quantity.Length)
			}
			if fromOK && toOK && g.To <= g.From+slack {
				g.fault(g.at("to"), fmt.Sprintf("the %s ends at %s, not beyond %s where it begins", key, g.placeText(g.To), g.placeText(g.From)),
					"write from and to as the places of the posts at its sides, in order from start to end")
				toOK = false
			}
			gaps, ok = append(gaps, g), ok && fromOK && toOK
		}
	}
	if !ok {
		return nil, false
	}
	slices.SortStableFunc(gaps, func(a, b gapDraft) int {
		if a.From < b.From {
			return -1
		}
		return 1
	})
	return gaps, t.checkOverlaps(gaps)
}

// checkOverlaps reports gaps that overlap, or that have a post in common.
func (t table) checkOverlaps(gaps []gapDraft) bool {
	ok := true
	for i := 1; i < len(gaps); i++ {
		g, before := gaps[i], gaps[i-1]
		switch {
		case g.From < before.To-cutting:
			g.fault(g.at("from"), fmt.Sprintf("the %s begins at %s, within the %s from %s to %s", g.named, g.placeText(g.From), before.named, g.placeText(before.From), g.placeText(before.To)),
				"give each stretch without rails once")
			ok = false
		case g.From < before.To+cutting:
			g.fault(g.at("from"), fmt.Sprintf("the post at %s stands between two gaps and carries no rail", g.placeText(g.From)),
				"make one gap of the two without that post, or leave a bay with rails between")
			ok = false
		}
	}
	return ok
}

// divisions returns the ends of the parts of the run that are divided into bays for
// themselves, and which of them are gaps.
func (t table) divisions(length float64, legs []legDraft, gaps []gapDraft) (ends []float64, isGap []bool, ok bool) {
	corners := []float64{}
	if t.has("legs") {
		for _, leg := range legs[:len(legs)-1] {
			corners = append(corners, leg.To)
		}
	}
	ok = true
	for _, g := range gaps {
		ok = g.checkWithin(0, length, corners) && ok
	}
	if !ok {
		return nil, nil, false
	}
	end := func(x float64, gap bool, least float64) {
		if len(ends) == 0 && x > least || len(ends) > 0 && x > ends[len(ends)-1]+least {
			ends, isGap = append(ends, x), append(isGap, gap)
		}
	}
	for _, g := range gaps {
		to := g.To
		for len(corners) > 0 && corners[0] < to-cutting {
			end(corners[0], false, 0)
			corners = corners[1:]
		}
		end(g.From, false, cutting)
		if len(corners) > 0 && corners[0] < to+cutting {
			to, corners = corners[0], corners[1:]
		}
		end(to, true, 0)
	}
	for _, x := range append(corners, length) {
		end(x, false, 0)
	}
	return ends, isGap, true
}

// checkWithin reports a gap at the end of the run, off it, or round a corner.
func (g gapDraft) checkWithin(first, last float64, corners []float64) bool {
	for _, side := range []struct {
		key string
		x   float64
	}{{"from", g.From}, {"to", g.To}} {
		switch {
		case side.x < first-cutting || side.x > last+cutting:
			g.fault(g.at(side.key), fmt.Sprintf("%s is off the run, which goes from %s to %s", g.placeText(side.x), g.placeText(first), g.placeText(last)),
				"write the place of a post of the run")
			return false
		case side.x < first+cutting:
			g.fault(g.at(side.key), "no rail is left before this "+g.named+": it begins where the run does", "leave it out, and begin the run at its other post")
			return false
		case side.x > last-cutting:
			g.fault(g.at(side.key), "no rail is left behind this "+g.named+": it ends where the run does", "leave it out, and end the run at its other post")
			return false
		}
	}
	for _, x := range corners {
		if g.From < x-cutting && g.To > x+cutting {
			g.fault(g.at("to"), fmt.Sprintf("the %s goes round the corner at %s", g.named, g.placeText(x)), "end it at the corner, where a post stands, or begin it there")
			return false
		}
	}
	return true
}

// setGaps gives the run its gaps, each from post to post.
func (r *runDraft) setGaps(gaps []gapDraft) {
	if !r.known() {
		return
	}
	supports, ok := r.Supports(), true
	for _, g := range gaps {
		gap, gapOK := r.meetPosts(g, supports)
		r.Gaps, r.gapPaths, ok = append(r.Gaps, gap), append(r.gapPaths, g.path), ok && gapOK
	}
	if !ok {
		r.Posts = nil
	}
}

// meetPosts moves the sides of a gap to the posts that are listed there, and reports where
// none is or one stands between.
func (r *runDraft) meetPosts(g gapDraft, supports []float64) (gap Gap, ok bool) {
	gap = g.Gap
	if !g.checkWithin(supports[0], supports[len(supports)-1], nil) {
		return gap, false
	}
	from, to := nearestOf(supports, g.From), nearestOf(supports, g.To)
	for _, side := range []struct {
		key string
		x   float64
		at  int
	}{{"from", g.From, from}, {"to", g.To, to}} {
		if math.Abs(supports[side.at]-side.x) > cutting {
			g.fault(g.at(side.key), fmt.Sprintf("no post stands at %s, the nearest is at %s", g.placeText(side.x), g.placeText(supports[side.at])),
				fmt.Sprintf("write %s = %q, or list a post at %s in run.posts", side.key, g.placeText(supports[side.at]), g.placeText(side.x)))
			return gap, false
		}
	}
	if to != from+1 {
		g.fault(g.at("to"), fmt.Sprintf("post %d at %s stands in the %s and carries no rail", r.postNumber(from+1), g.placeText(supports[from+1]), g.named),
			fmt.Sprintf("write to = %q, or take the post out of run.posts", g.placeText(supports[from+1])))
		return gap, false
	}
	gap.From, gap.To = supports[from], supports[to]
	return gap, true
}
