package sections

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"example.com/stanchion/internal/nearest"
)

// An UnknownGradeError says that no grade of tube fits. Reason, when given, says
// why a grade that exists does not.
type UnknownGradeError struct {
	Name     string
	Standard string   // of the tube, empty for a tube that the user describes
	Nearest  []string // likeliest first, may be empty
	Reason   string
}

func (e *UnknownGradeError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "no grade %q", e.Name)
	if e.Standard != "" {
		fmt.Fprintf(&b, " for tube to %s", e.Standard)
	}
	if e.Reason != "" {
		b.WriteString(": " + e.Reason)
	}
	if len(e.Nearest) > 0 {
		b.WriteString("; nearest: " + quoted(e.Nearest))
	}
	return b.String()
}

// An AmbiguousGradeError says that several grades fit; each candidate, typed as
// it stands, names one of them.
type AmbiguousGradeError struct {
	Name       string
	Candidates []string
}

func (e *AmbiguousGradeError) Error() string {
	return fmt.Sprintf("%q names more than one grade: %s", e.Name, quoted(e.Candidates))
}

// FindGrade returns the grade of that name for a tube, and the cautions that
// come with it. wall is the nominal wall in m, which the bands of the standards
// are written for, whatever wall the check then counts on.
//
// A grade of the tube's own standard goes first. One of another standard is
// found with a caution, never one of another material. A tube with an empty
// Standard (the user's own size) takes a grade of any standard. The standard may
// stand before the grade's name ("EN 10219-1 S235JRH").
//
// Errors: *UnknownGradeError, *AmbiguousGradeError.
func FindGrade(name string, t Tube, wall float64) (Grade, []string, error) {
	unknown := func(reason string) error {
		return &UnknownGradeError{Name: name, Standard: t.Standard, Nearest: nearestGrades(name, t), Reason: reason}
	}
	named := gradesNamed(name)
	if len(named) == 0 {
		return Grade{}, nil, unknown("")
	}
	fit := keep(named, func(g Grade) bool { return g.Use == UseTube })
	if len(fit) == 0 {
		return Grade{}, nil, unknown(whyNotTube(named[0]))
	}
	if t.Material != "" {
		same := keep(fit, func(g Grade) bool { return g.Material == t.Material })
		if len(same) == 0 {
			return Grade{}, nil, unknown(fmt.Sprintf("%s is of %s, the tube of %s", fit[0].label(), fit[0].Material.called(), t.Material.called()))
		}
		fit = same
	}
	own := keep(fit, func(g Grade) bool { return g.isOwnOf(t) })
	if len(own) > 0 {
		fit = own
	}
	covering := keep(fit, func(g Grade) bool { return g.Covers(wall) })
	switch len(covering) {
	case 0:
		return Grade{}, nil, &UnknownGradeError{Name: name, Standard: t.Standard, Reason: outOfBand(fit, wall)}
	case 1:
		g := covering[0]
		return g, g.cautionsOn(t), nil
	}
	return Grade{}, nil, &AmbiguousGradeError{Name: name, Candidates: labels(covering)}
}

// label names a grade with its standard, as it may be typed.
func (g Grade) label() string { return g.Standard + " " + g.Name }

func (g Grade) isOwnOf(t Tube) bool {
	return slices.Contains(g.tubes, t.Standard)
}

func (g Grade) cautionsOn(t Tube) []string {
	var cautions []string
	if t.Standard != "" && !g.isOwnOf(t) {
		cautions = append(cautions, fmt.Sprintf("grade %s is of %s, the tube %s of %s", g.Name, g.Standard, t.Name, t.Standard))
	}
	if g.caution != "" {
		cautions = append(cautions, g.label()+": "+g.caution)
	}
	return cautions
}

// whyNotTube says why a row that bears the name is no grade for a tube.
func whyNotTube(g Grade) string {
	switch g.Use {
	case UseTypical:
		return g.label() + " guarantees no yield strength; give those of the certificate as { fy, fu }"
	case UseStrip:
		return g.label() + " is a value of strip or plate; take the tube standard's own"
	case UseProfile:
		return g.label() + " is a value of profiles or bar, not of tube"
	case UseCasting:
		return g.label() + " is a casting for fitting bodies"
	}
	return g.label() + " is no grade of tube"
}

func outOfBand(fit []Grade, wall float64) string {
	var bands []string
	for _, g := range fit {
		bands = append(bands, fmt.Sprintf("%s: %s", g.label(), g.Words()))
	}
	return fmt.Sprintf("no strength is listed for a wall of %g mm (%s)", round9(wall/mm), strings.Join(bands, ", "))
}

// gradesNamed returns the rows that bear a name: their own or an alias, alone or
// after the standard ("ASTM A53 Grade B", "A53 Grade B").
func gradesNamed(name string) []Grade { return named(gradeIndex(), gradeTable(), name) }

var gradeIndex = sync.OnceValue(func() nameIndex {
	index := nameIndex{}
	for i, g := range gradeTable() {
		standard := squash(g.Standard)
		_, number, _ := strings.Cut(g.Standard, " ")
		number = squash(number)
		for _, n := range append([]string{g.Name}, g.aliases...) {
			n = squash(n)
			index.add(n, i)
			index.add(standard+n, i)
			index.add(number+n, i)
		}
	}
	return index
})

// nearestGrades returns names to try: those of the tube's own standard where it
// has any, else those that differ from the one typed in no more than half of it.
func nearestGrades(name string, t Tube) []string {
	typed := squash(name)
	away := func(g Grade) int {
		return min(nearest.Edits(typed, squash(g.Name)), nearest.Edits(typed, squash(g.label())))
	}
	grades := keep(gradeTable(), func(g Grade) bool {
		return g.Use == UseTube && (t.Material == "" || g.Material == t.Material)
	})
	var names []string
	if own := keep(grades, func(g Grade) bool { return g.isOwnOf(t) }); len(own) > 0 {
		for _, g := range nearest.Of(own, away, math.MaxInt) {
			names = append(names, g.Name)
		}
		names = distinct(names)
	} else {
		names = labels(nearest.Of(grades, away, len(typed)/2))
	}
	return names[:min(mostNear, len(names))]
}

func labels(grades []Grade) []string {
	names := make([]string, 0, len(grades))
	for _, g := range grades {
		names = append(names, g.label())
	}
	return distinct(names)
}
