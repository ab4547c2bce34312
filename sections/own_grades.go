package sections

import (
	"slices"
	"strings"
)

// Grades returns the grades of the tube's own standard that list a strength for its wall, in
// document order: what the tube is bought in. There are none where the tables have none.
func (t Tube) Grades() []Grade {
	return keep(gradeTable(), func(g Grade) bool {
		return g.Use == UseTube && g.isOwnOf(t) && g.Material == t.Material && g.Covers(t.Wall)
	})
}

// FullName returns the name of the grade behind that of its standard, by which FindGrade finds
// it: "EN 10219-1 S235JRH".
func (g Grade) FullName() string { return g.label() }

// IsCalled reports whether a name is one of the grade's: its own or an alias, alone or behind
// its standard, as FindGrade takes it.
func (g Grade) IsCalled(name string) bool {
	want := squash(name)
	_, number, _ := strings.Cut(g.Standard, " ")
	return slices.ContainsFunc(append([]string{g.Name}, g.aliases...), func(n string) bool {
		return want == squash(n) || want == squash(g.Standard+n) || want == squash(number+n)
	})
}
