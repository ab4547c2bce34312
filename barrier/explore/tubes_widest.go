package explore

import (
	"errors"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// wholeBays returns every layout of a run in whole bays, that of the largest spacing first: those
// that LargestSpacing looks at without a grid.
func wholeBays(d *barrier.Definition, units quantity.System) ([]layout, error) {
	ground, err := groundOf(d, 0, 0, units)
	if err != nil {
		return nil, err
	}
	spacings, err := ground.spacings(ground.least())
	if err != nil {
		return nil, err
	}
	var all []layout
	for _, spacing := range spacings {
		all = append(all, ground.at(spacing))
	}
	return all, nil
}

// widestStanding tries layouts in turn and returns the first barrier in which no check fails, and
// what its check comes to; nil where there is none. A layout that the definition refuses does not
// stand. Of the layout of given the judgement is known: nil where a check fails.
func widestStanding(doc *barrier.Document, changes []barrier.Change, layouts []layout, given *barrier.Definition, of *check.Judgement) (*barrier.Definition, *check.Judgement, error) {
	for i := range layouts {
		d, j := given, of
		if !slices.Equal(layouts[i].supports, given.Supports()) {
			var err error
			if d, err = doc.Definition(append(slices.Clip(changes), layouts[i].changes()...)...); err == nil {
				j, _, _, err = check.JudgeUnlessFails(d)
			}
			switch {
			case isRefusal(err):
				continue
			case err != nil:
				return nil, nil, err
			}
		}
		if j != nil && j.Status != check.Fail {
			return d, j, nil
		}
	}
	return nil, nil, nil
}

// isRefusal reports whether an error says that there is no such barrier, and not that one could
// not be checked.
func isRefusal(err error) bool {
	var problems barrier.Problems
	return errors.As(err, &problems)
}
