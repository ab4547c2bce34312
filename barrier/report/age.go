package report

import (
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// The walls that weather has left, in the head of a report.

// yearWords writes a year: whole, or with what follows the point.
func yearWords(year float64) string {
	return strings.TrimSuffix(strings.TrimRight(quantity.Fix(year, 2), "0"), ".")
}

// ageWords name the year and the rate of a check; empty for the barrier as new.
func ageWords(a *check.Age) string {
	if a == nil {
		return ""
	}
	return fmt.Sprintf("walls of year %s, %s rate of [exposure]", yearWords(a.Year), a.Rate)
}

// age tells the year, the rate and the walls that a check is of.
func (p *printer) age() {
	a := p.r.Age
	if a == nil {
		return
	}
	p.words("", "  ", ageWords(a))
	for _, of := range joinAlike(a.Walls) {
		row := of.row
		text := p.thickness(row.NewWall) + " as new, "
		if row.Wall == row.LeastWall {
			text += p.thickness(row.LeastWall) + " is left"
		} else {
			text += p.thickness(row.Wall) + " is left between fittings and " + p.thickness(row.LeastWall) + " at the thinnest"
		}
		p.words("  ", "    ", of.elements+": "+text)
	}
}

// thickness prints a wall (mm) with its unit.
func (p *printer) thickness(wall float64) string { return thicknessIn(p.units, wall) }

func thicknessIn(units quantity.System, wall float64) string {
	if units == quantity.US {
		return quantity.FormatIn(wall/1e3, "in", 4)
	}
	return quantity.FormatIn(wall/1e3, "mm", 2)
}

// alikeWalls are elements whose walls are the same, in words.
type alikeWalls struct {
	elements string
	row      check.WallRow
}

// joinAlike joins elements of the same walls; of many posts that differ the thinnest stands for all.
func joinAlike(walls []check.WallRow) []alikeWalls {
	var out []alikeWalls
	var posts []check.WallRow
	for _, row := range walls {
		if strings.HasPrefix(row.Element, "post ") {
			posts = append(posts, row)
		}
	}
	if len(posts) > 0 {
		thinnest := slices.MinFunc(posts, func(a, b check.WallRow) int {
			switch {
			case a.LeastWall < b.LeastWall:
				return -1
			case a.LeastWall > b.LeastWall:
				return 1
			}
			return 0
		})
		out = append(out, alikeWalls{"posts, the thinnest of them " + thinnest.Element, thinnest})
	}
	for _, row := range walls {
		if strings.HasPrefix(row.Element, "post ") {
			continue
		}
		name := row.Element
		row.Element = ""
		at := slices.IndexFunc(out, func(a alikeWalls) bool { return a.row == row })
		if at < 0 {
			out = append(out, alikeWalls{name, row})
			continue
		}
		out[at].elements += ", " + name
	}
	return out
}
