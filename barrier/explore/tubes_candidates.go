package explore

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/nearest"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/sections"
)

// MaxCandidates is how many candidates are compared at most.
const MaxCandidates = 100_000

// TubeFilter keeps some of the tubes that are known. An empty field keeps all.
type TubeFilter struct {
	Standards []string // any of them, case and a part number aside: "EN 10219", "a500"
	Grades    []string // any of them, with or without their standard: "S235JRH", "EN 10219-1 S235JRH"
	Materials []string // any of them: steel, stainless, aluminium

	LargestOD, SmallestOD     float64 // m
	LargestWall, SmallestWall float64 // m, nominal
}

// TubeChoice names a tube and its grade.
type TubeChoice struct {
	Tube          string `json:"tube"`
	Grade         string `json:"grade"`
	GradeStandard string `json:"grade_standard"` // empty for a grade of the user's own

	Own *barrier.Member `json:"-"` // of a size or a grade of the user's own, whose name has units; else nil
}

// choiceOf names a member.
func choiceOf(m *barrier.Member) TubeChoice {
	c := TubeChoice{Tube: m.NameIn(quantity.Metric), Grade: m.GradeIn(quantity.Metric), GradeStandard: m.Grade.Standard}
	if m.Tube.Name == "" || m.Grade.Standard == "" {
		c.Own = m
	}
	return c
}

// In returns tube and grade as people read them.
func (c *TubeChoice) In(s quantity.System) string {
	if c.Own != nil {
		return c.Own.NameIn(s) + " in " + c.Own.GradeIn(s)
	}
	return c.Tube + " in " + c.Grade
}

// Candidate is what posts and rails would be made of.
type Candidate struct{ Post, Rail Stocked }

// Stocked is a tube in a grade that can be had.
type Stocked struct {
	TubeChoice
	Price    *float64 // of a metre; nil where none is given
	tube     any      // as a definition takes it
	grade    any
	posts    bool // it may be that of posts
	rails    bool
	of       sections.Grade
	material sections.Material
	standard string
	od, wall float64
}

// FromTables returns every tube of the tables in every grade of its standard, and without a
// grade where the tables have none for it.
func FromTables() []Stocked {
	var all []Stocked
	for _, t := range sections.Tubes() {
		plain := Stocked{
			TubeChoice: TubeChoice{Tube: t.Name}, tube: t.Name, posts: true, rails: true,
			material: t.Material, standard: t.Standard, od: t.OD, wall: t.Wall,
		}
		grades := t.Grades()
		if len(grades) == 0 {
			all = append(all, plain)
		}
		for _, g := range grades {
			graded := plain
			graded.Grade, graded.GradeStandard, graded.grade, graded.of = g.Name, g.Standard, g.FullName(), g
			all = append(all, graded)
		}
	}
	return all
}

// Graded parts tubes into those that have a grade and the names of those that have none, which
// can be no candidates.
func Graded(all []Stocked) (graded []Stocked, without []string) {
	for i := range all {
		if all[i].grade == nil {
			without = append(without, all[i].Tube)
		} else {
			graded = append(graded, all[i])
		}
	}
	return graded, without
}

// FromStock returns the tubes of a stock.
func FromStock(stock *barrier.Stock) []Stocked {
	var all []Stocked
	for i := range stock.Tubes {
		s := &stock.Tubes[i]
		all = append(all, Stocked{
			TubeChoice: choiceOf(&s.Member),
			Price:      s.Price,
			tube:       s.Written, grade: s.WrittenGrade, posts: s.ServesPosts(), rails: s.ServesRails(),
			of: s.Grade, material: s.Grade.Material, standard: s.Tube.Standard, od: s.Ring.OD, wall: s.Nominal,
		})
	}
	return all
}

// Keep returns those that the filter keeps. The error tells of every word of the filter that
// nothing answers to, and of a filter that leaves nothing.
func (f *TubeFilter) Keep(all []Stocked) ([]Stocked, error) {
	faults := slices.Concat(
		unanswered("standard", f.Standards, all, func(s *Stocked) string { return s.standard }, (*Stocked).isOfStandard),
		unanswered("grade", f.Grades, all, func(s *Stocked) string { return s.Grade }, (*Stocked).isOfGrade),
		unanswered("material", f.Materials, all, func(s *Stocked) string { return string(s.material) }, (*Stocked).isOfMaterial),
	)
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	var kept []Stocked
	for i := range all {
		if f.keeps(&all[i]) {
			kept = append(kept, all[i])
		}
	}
	if len(kept) == 0 {
		return nil, errors.New("no tube is left: what is asked of the candidates excludes all of them; ask for less")
	}
	return kept, nil
}

func (f *TubeFilter) keeps(s *Stocked) bool {
	const slack = 1e-9 // m
	answers := func(words []string, is func(word string) bool) bool {
		return len(words) == 0 || slices.ContainsFunc(words, is)
	}
	return answers(f.Standards, s.isOfStandard) && answers(f.Grades, s.isOfGrade) && answers(f.Materials, s.isOfMaterial) &&
		s.od >= f.SmallestOD-slack && s.wall >= f.SmallestWall-slack &&
		(f.LargestOD == 0 || s.od <= f.LargestOD+slack) && (f.LargestWall == 0 || s.wall <= f.LargestWall+slack)
}

// isOfGrade reports whether a word names the grade, with or without its standard.
func (s *Stocked) isOfGrade(word string) bool {
	return s.Grade != "" && (s.of.IsCalled(word) || closedUp(word) == closedUp(s.Grade))
}

func (s *Stocked) isOfMaterial(word string) bool { return closedUp(word) == string(s.material) }

// isOfStandard reports whether a word names the standard of the tube: whole, without its part, or by its
// number alone.
func (s *Stocked) isOfStandard(word string) bool {
	word, standard := closedUp(word), closedUp(s.standard)
	if word == "" {
		return false
	}
	at := strings.Index(standard, word)
	if at < 0 {
		return false
	}
	// "10219" is not to be part of a longer number, and "39" not of "139".
	isDigit := func(i int) bool { return i >= 0 && i < len(standard) && standard[i] >= '0' && standard[i] <= '9' }
	return (!isDigit(at-1) || !isDigit(at)) && (!isDigit(at+len(word)) || !isDigit(at+len(word)-1))
}

// closedUp returns a name in small letters without spaces.
func closedUp(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(name), ""))
}

// wholeName returns a name closed up, that of a standard without its part.
func wholeName(name string) string {
	name = closedUp(name)
	if at := strings.LastIndexByte(name, '-'); at >= 0 && at == len(name)-2 && name[at+1] >= '0' && name[at+1] <= '9' {
		return name[:at]
	}
	return name
}

// mostListed is how many names are told where none is near.
const mostListed = 12

// unanswered tells of each word that none of the tubes answers to, with the nearest names, or with
// all where none is near and they are few.
func unanswered(what string, words []string, all []Stocked, name func(*Stocked) string, is func(*Stocked, string) bool) []error {
	var faults []error
	for _, word := range words {
		var known []string
		answered := false
		for i := range all {
			answered = answered || is(&all[i], word)
			if n := name(&all[i]); n != "" {
				known = append(known, n)
			}
		}
		if answered {
			continue
		}
		const most = 3
		fault := fmt.Sprintf("no candidate is of %s %q", what, word)
		if near := nearest.Names(word, known, wholeName, 1+len(word)/2, most); len(near) > 0 {
			fault += "; nearest: " + strings.Join(near, ", ")
		} else if there := slices.Compact(slices.Sorted(slices.Values(known))); len(there) > 0 && len(there) <= mostListed {
			fault += "; there is: " + strings.Join(there, ", ")
		}
		faults = append(faults, errors.New(fault))
	}
	return faults
}

// Pairs makes candidates: each tube for posts and rails alike, or, where rails may be of another
// tube, each tube that may be that of posts with each that may be that of rails. The error says
// that there are more than MaxCandidates, or none.
func Pairs(tubes []Stocked, railsDiffer bool) ([]Candidate, error) {
	var all []Candidate
	for _, post := range tubes {
		if !post.posts {
			continue
		}
		if !railsDiffer {
			if post.rails {
				all = append(all, Candidate{post, post})
			}
			continue
		}
		for _, rail := range tubes {
			if rail.rails {
				all = append(all, Candidate{post, rail})
			}
			if len(all) > MaxCandidates {
				return nil, fmt.Errorf("more than %d pairs of tubes: narrow them by --standard, --grade, --smallest-od or --largest-od", MaxCandidates)
			}
		}
	}
	switch {
	case len(all) > 0:
		return all, nil
	case len(tubes) == 0:
		return nil, errors.New("no tube is left: the tables have no grade for any of those asked for; list them in [stock] with a grade")
	case !slices.ContainsFunc(tubes, func(s Stocked) bool { return s.posts }):
		return nil, errors.New("every tube is for rails alone: a tube for posts is wanted, list one with use post or both")
	case railsDiffer:
		return nil, errors.New("every tube is for posts alone: a tube for rails is wanted, list one with use rail or both")
	case !slices.ContainsFunc(tubes, func(s Stocked) bool { return s.rails }):
		return nil, errors.New("every tube is for posts alone: a tube for rails is wanted, list one with use both, or one with use rail and --rails any")
	}
	return nil, errors.New("no tube is for both posts and rails: write --rails any, or list one for both")
}

// changes are what makes a barrier of the candidate; the stock is not read again for each.
func (c *Candidate) changes(rails int) []barrier.Change {
	all := []barrier.Change{
		{Path: "stock"},
		{Path: "post.tube", Value: c.Post.tube},
		{Path: "post.grade", Value: c.Post.grade},
	}
	for i := range rails {
		rail := fmt.Sprintf("rail[%d].", i)
		all = append(all, barrier.Change{Path: rail + "tube", Value: c.Rail.tube}, barrier.Change{Path: rail + "grade", Value: c.Rail.grade})
	}
	return all
}
