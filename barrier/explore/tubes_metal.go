package explore

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/sections"
)

// The checks against what was tested on a tube, by the beginning of their ids: a value holds for
// the metal of the tube that was tested.
func testedOnPosts() []string {
	return []string{"fitting-", "brace-grip-", "base-socket-", "base-counterweight-arm"}
}

func testedOnRails() []string { return []string{"fitting-", "splice-"} }

// otherMetal is what a candidate is of where the file's own tubes, and so its tested values, are
// of another metal.
type otherMetal struct {
	words string   // "aluminium, and the posts and rails of the file are of steel"
	rests []string // ids, or their beginnings, of the checks that rest on a value of the file's metal
}

// otherMetalThan compares the metals of a candidate with those of the file; nil for the same.
func otherMetalThan(file, d *barrier.Definition) *otherMetal {
	var o otherMetal
	add := func(what string, own, is *barrier.Member, rests []string) {
		if from, to := metalOf(own), metalOf(is); from != to {
			words := fmt.Sprintf("%s are of %s and those of the file of %s", what, to, from)
			if !strings.Contains(o.words, words) {
				o.words = strings.TrimPrefix(o.words+", "+words, ", ")
				o.rests = append(o.rests, rests...)
			}
		}
	}
	add("posts", &file.Post.Member, &d.Post.Member, testedOnPosts())
	for i := range d.Rails {
		add("rails", &file.Rails[i].Member, &d.Rails[i].Member, testedOnRails())
	}
	if o.words == "" {
		return nil
	}
	return &o
}

// metalOf is the metal of a tube; one that is not told counts as steel.
func metalOf(m *barrier.Member) sections.Material {
	if m.Grade.Material == "" {
		return sections.Steel
	}
	return m.Grade.Material
}

// resting counts the checks that pass on a value of another metal.
func (o *otherMetal) resting(checks []check.Judged) (n int) {
	if o == nil {
		return 0
	}
	for i := range checks {
		if checks[i].Status == check.Pass && slices.ContainsFunc(o.rests, func(id string) bool { return strings.HasPrefix(checks[i].ID, id) }) {
			n++
		}
	}
	return n
}

// caution tells of it.
func (o *otherMetal) caution() string {
	return "Metals share no tested values: here " + o.words + ", so what the file's tested values of fittings, splices and sockets pass counts as not checked. Ask for values of this metal."
}

// hasTested reports whether a file gives tested values that a check rests on.
func hasTested(d *barrier.Definition) bool {
	fittings := d.Fitting.Values != "" || d.Fitting.Corner.Values != "" || d.Fitting.Brace.Values != "" ||
		slices.ContainsFunc(d.Rails, func(r barrier.Rail) bool { return r.SpliceValues != "" })
	return fittings && !d.LeaveOut.Fitting || !d.LeaveOut.Base && d.Post.Base.Socket.Values != ""
}
