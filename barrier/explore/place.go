package explore

import (
	"fmt"
	"strings"

	"example.com/stanchion/barrier"
)

// placeOf says where along the run an element stands, in words: "end", "corner", "beside a
// gate", "beside a gap", "wall", "odd bay", several of them where they hold, or "inner"; empty
// for what stands at no post and in no bay of the run, such as a test piece. A post is beside
// the odd bay that it ends.
func placeOf(d *barrier.Definition, odd []int, element string) string {
	if strings.HasPrefix(element, "test piece ") {
		return ""
	}
	if post, ok := postOf(d, element); ok {
		return placeOfPost(&d.Run, odd, post)
	}
	if bay, ok := bayOf(d, element); ok {
		return placeOfBay(&d.Run, odd, bay)
	}
	switch {
	case strings.HasSuffix(element, " overhang start"), strings.HasSuffix(element, " overhang end"):
		return "end"
	case strings.HasSuffix(element, " at the start"), strings.HasSuffix(element, " at the end"):
		return "wall"
	}
	return ""
}

// postOf finds the post, from 0, that an element is or sits on.
func postOf(d *barrier.Definition, element string) (post int, ok bool) {
	for _, form := range []string{"post %d", "fitting %d ", "corner fitting %d "} {
		if n, err := fmt.Sscanf(element, form, &post); n == 1 && err == nil {
			return post - 1, post >= 1 && post <= len(d.Run.Posts)
		}
	}
	var brace int
	if n, err := fmt.Sscanf(element, "brace %d", &brace); n == 1 && err == nil && brace >= 1 && brace <= len(d.Braces) {
		return d.Braces[brace-1].Post, true
	}
	return 0, false
}

// bayOf finds the bay, from 0, of a rail or a splice.
func bayOf(d *barrier.Definition, element string) (bay int, ok bool) {
	for i := range d.Rails {
		var x float64
		name := d.Rails[i].Name
		if rest, is := strings.CutPrefix(element, "rail "+name+" bay "); is {
			n, err := fmt.Sscanf(rest, "%d", &bay)
			return bay - 1, n == 1 && err == nil
		}
		if rest, is := strings.CutPrefix(element, "splice "+name+" "); is {
			n, err := fmt.Sscanf(rest, "%g", &x)
			return d.BayOf(x), n == 1 && err == nil
		}
	}
	return 0, false
}

// placeOfPost tells of a post, from 0.
func placeOfPost(run *barrier.Run, odd []int, post int) string {
	at := run.PostSupport(post)
	last := len(run.Supports()) - 1
	var words []string
	if run.IsCorner(post) {
		words = append(words, "corner")
	}
	words = append(words, besideGap(run, at-1, at)...)
	if run.Start.Wall && at == 1 || run.End.Wall && at == last-1 {
		words = append(words, "beside a wall")
	}
	if at == 0 || at == last {
		words = append(words, "end")
	}
	for _, bay := range odd {
		if bay == at-1 || bay == at {
			words = append(words, "beside the odd bay")
			break
		}
	}
	return inWords(words)
}

// placeOfBay tells of a bay, from 0.
func placeOfBay(run *barrier.Run, odd []int, bay int) string {
	last := len(run.Supports()) - 2
	var words []string
	for _, support := range []int{bay, bay + 1} {
		post := support - run.PostSupport(0)
		if post >= 0 && post < len(run.Posts) && run.IsCorner(post) {
			words = append(words, "beside a corner")
			break
		}
	}
	words = append(words, besideGap(run, bay-1, bay+1)...)
	if run.Start.Wall && bay == 0 || run.End.Wall && bay == last {
		words = append(words, "beside a wall")
	}
	if !run.Start.Wall && bay <= 0 || !run.End.Wall && bay >= last {
		words = append(words, "end")
	}
	for _, b := range odd {
		if b == bay {
			words = append(words, "odd bay")
		}
	}
	return inWords(words)
}

// besideGap names the gap or gate that is one of two bays.
func besideGap(run *barrier.Run, before, behind int) []string {
	supports := run.Supports()
	for _, bay := range []int{before, behind} {
		if bay < 0 || bay >= len(supports)-1 || !run.IsGap(bay) {
			continue
		}
		for _, g := range run.Gaps {
			if g.From < supports[bay]+setOut && g.To > supports[bay]+setOut && g.Gate {
				return []string{"beside a gate"}
			}
		}
		return []string{"beside a gap"}
	}
	return nil
}

func inWords(words []string) string {
	if len(words) == 0 {
		return "inner"
	}
	return strings.Join(words, ", ")
}
