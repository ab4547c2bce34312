package explore

import (
	"regexp"

	"example.com/stanchion/barrier"
)

// refuseSurveyed refuses to lay out anew, or of other tubes, a barrier that stands and was surveyed.
func refuseSurveyed(d *barrier.Definition, what string) error {
	if d.Survey == nil {
		return nil
	}
	return barrier.Problems{d.Problem("survey", what+" is of a barrier that is yet to be built, and this one stands and was surveyed",
		"check the file as it is, or leave [survey] out for the barrier as new")}
}

// laidOut are the keys whose change makes another barrier than the one that was surveyed.
var laidOut = regexp.MustCompile(`^(run\.(length|spacing|posts|legs|start|end)|(post|rail(\[\d+\])?|rail\.[^.]*)\.tube|rail(\[\d+\])?\.height|post\.height)\b`)

// surveyed faults those of the flags that make another barrier than the one that was surveyed.
func (s *Sweep) surveyed() (problems barrier.Problems) {
	d, err := s.doc.Definition()
	if err != nil || d.Survey == nil {
		return nil
	}
	for _, v := range s.Vary {
		if laidOut.MatchString(v.Key) {
			problems = append(problems, problemOf(v.written, v.Key, "the barrier stands and was surveyed: what was read holds of it alone", "vary something else, or leave [survey] out for the barrier as new"))
		}
	}
	return problems
}
