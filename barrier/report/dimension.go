package report

import (
	"math"
	"strings"

	"example.com/stanchion/internal/quantity"
)

// drawnLength prints a length as it stands at a dimension line: mm without a unit, or feet and inches.
func drawnLength(v float64, units quantity.System) string {
	if units == quantity.US {
		text := quantity.FeetAndInchesShort(v, 2)
		text = strings.Replace(text, ".00\"", "\"", 1)
		if feet, inches, ok := strings.Cut(text, "'"); ok && feet == "0" {
			return inches
		}
		return text
	}
	text := quantity.Fix(v*1e3, 1)
	return strings.TrimSuffix(text, ".0")
}

// lengthsIn says what the numbers at dimension lines are.
func lengthsIn(units quantity.System) string {
	if units == quantity.US {
		return "Dimensions in feet and inches."
	}
	return "Dimensions in mm."
}

// dimension draws a dimension line with strokes at its ends and words at its middle, above it; words
// that are wider than the line go below it.
func (d *drawing) dimension(from, to paper, text string) {
	d.line(fine, from, to)
	for _, p := range []paper{from, to} {
		d.line(medium, paper{p[0] - 0.6, p[1] + 0.6}, paper{p[0] + 0.6, p[1] - 0.6})
	}
	length := math.Hypot(to[0]-from[0], to[1]-from[1])
	turn := -math.Atan2(to[1]-from[1], to[0]-from[0]) * 180 / math.Pi
	sin, cos := math.Sincos(-turn * math.Pi / 180)
	middle := paper{(from[0] + to[0]) / 2, (from[1] + to[1]) / 2}
	off := func(by float64) paper { return paper{middle[0] - sin*by, middle[1] + cos*by} }
	at := off(-0.7)
	if lettersWide(text, smallLetters) > length-0.6 {
		for _, by := range []float64{smallLetters + 0.4, 2*smallLetters + 1, -1.2 - smallLetters} {
			at = off(by)
			if d.isFree(boxOf(&inked{kind: lettering, points: []paper{at}, size: smallLetters, anchor: atMiddle, turn: turn, text: text})) {
				break
			}
		}
	}
	d.writeTurned(at, smallLetters, atMiddle, turn, text)
}

// height is a place up a dimension line, y on paper, with its words.
type height struct {
	y     float64
	words string
}

// heights draws a dimension line up from the walking surface with a stroke at each height, its
// words to the left, spread where they would cover each other. The heights go upwards.
func (d *drawing) heights(x, surface float64, of []height) {
	if len(of) == 0 {
		return
	}
	d.line(fine, paper{x, surface}, paper{x, of[len(of)-1].y})
	d.line(medium, paper{x - 0.6, surface + 0.6}, paper{x + 0.6, surface - 0.6})
	const apart = smallLetters * 1.15
	places := make([]float64, len(of))
	for i := range of {
		places[i] = of[i].y + 0.3*smallLetters
		if i > 0 {
			places[i] = math.Min(places[i], places[i-1]-apart)
		}
	}
	if lift := of[len(of)-1].y - places[len(of)-1]; lift > apart/2 { // half of what they were raised by
		for i := range places {
			places[i] += lift / 2
		}
	}
	for i, h := range of {
		d.line(medium, paper{x - 0.6, h.y + 0.6}, paper{x + 0.6, h.y - 0.6})
		d.line(fine, paper{x - 0.9, h.y}, paper{x - 2.6, places[i] - 0.3*smallLetters})
		d.write(paper{x - 3, places[i]}, smallLetters, atEnd, h.words)
	}
}
