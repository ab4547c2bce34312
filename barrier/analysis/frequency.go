package analysis

import (
	"fmt"
	"math"

	"example.com/stanchion/solver"
)

const (
	// frequencyParts is into how many parts a tube is cut for the frequency where it has no
	// nodes between its ends. A cubic with its consistent mass is (kl)⁴/1440 too high: 0.1 % for
	// a bay between hinges, 0.4 % between clamps, less for a cantilever.
	frequencyParts = 3
	// frequencyWithin is how near to that of the frame so cut the frequency is found.
	frequencyWithin = 5e-4
	// mostVibrating is the most posts of a run whose frequency is looked for: its frame so cut takes
	// 48 kB a post.
	mostVibrating = 20_000
	// swinging is how many times as far as any post a rail moves that swings between them.
	swinging = 2
)

// Vibration is the lowest natural frequency of the frame, and what moves in it.
type Vibration struct {
	Hertz     float64 // cycles a second
	Direction string  // "across", "along" or "vertical": in which most moves, in the axes of each leg
	OfRails   bool    // a rail swings between posts that move little
}

// Vibration returns the lowest natural frequency, with the mass of tubes, fittings and infill; nil
// where nothing has mass. It is of first order: no axial force, no damping, no turning of a tube
// about its own axis. Infill that posts carry moves with the nodes on which it hangs.
//
// Errors: those of solver.Factored.LowestVibration, and one that says so for a run of more than
// 20 000 posts.
func (a *Analysis) Vibration() (*Vibration, error) {
	if posts := len(a.Frame.Posts); posts > mostVibrating {
		return nil, fmt.Errorf("it is looked for on runs of at most %d posts, not on one of %d", mostVibrating, posts)
	}
	divided := a.Frame.Divide(frequencyParts, a.betweenNodes()...)
	for _, l := range a.Frame.Lumps {
		divided.Frame.Mass(l.Node, l.Mass)
	}
	for i := range a.Frame.Infill {
		divided.Frame.Mass(a.Frame.Infill[i].Node, a.Frame.Infill[i].Mass)
	}
	model, err := divided.Frame.Factorise()
	if err != nil {
		return nil, err
	}
	lowest, err := model.LowestVibration(frequencyWithin)
	if err != nil || lowest == nil {
		return nil, err
	}
	return a.told(lowest, divided), nil
}

// betweenNodes returns the members of rails and braces, and the posts that are one member.
func (a *Analysis) betweenNodes() (members []solver.MemberID) {
	for i := range a.Frame.Rails {
		for _, m := range a.Frame.Rails[i].Members {
			members = append(members, m.ID)
		}
	}
	for i := range a.Frame.Posts {
		if post := &a.Frame.Posts[i]; len(post.Members) == 1 {
			members = append(members, post.Members...)
		}
	}
	for i := range a.Frame.Braces {
		members = append(members, a.Frame.Braces[i].ID)
	}
	return members
}

// told says what moves in a vibration.
func (a *Analysis) told(v *solver.Vibration, divided *solver.Divided) *Vibration {
	var sums [3]float64
	moves := func(n solver.NodeID, leg int) float64 {
		moved := seen(new(a.Definition.Run.Axes(leg)), solver.Vec{v.Displacement(n, solver.UX), v.Displacement(n, solver.UY), v.Displacement(n, solver.UZ)})
		for k, u := range moved {
			sums[k] += u * u
		}
		return math.Hypot(math.Hypot(moved[0], moved[1]), moved[2])
	}
	post, rail := 0.0, 0.0
	for i := range a.Frame.Posts {
		for _, n := range a.Frame.Posts[i].Nodes {
			post = math.Max(post, moves(n, a.Frame.Posts[i].Leg))
		}
	}
	for i := range a.Frame.Rails {
		for _, m := range a.Frame.Rails[i].Members {
			for _, part := range divided.Parts(m.ID) {
				rail = math.Max(rail, moves(divided.Start(part), m.Leg))
			}
		}
	}
	most := 1 // across, where two are alike
	for _, k := range [2]int{0, 2} {
		if sums[k] > 1.01*sums[most] {
			most = k
		}
	}
	return &Vibration{Hertz: v.Hertz, Direction: [...]string{"along", "across", "vertical"}[most], OfRails: rail > swinging*post}
}
