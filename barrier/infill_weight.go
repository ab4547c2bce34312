package barrier

import (
	"math"
	"slices"

	"example.com/stanchion/solver"
)

// InfillWeight is what the infill does to a node of a post, beside the weight that its rails
// carry as tubes of more mass: kg, which times the free fall is N.
//
// An infill stands in every bay but gaps; rails that run past an end post carry none there.
// Carried by rails, each rail takes the weight of its tributary height, from half way to the
// carrier below it to half way to that above, the outer ones up to the edge: mass per metre of
// rail. Where it stands beside the rails it leans on the highest and the lowest of them, outward
// above and inward below by weight times offset over the height between them. That couple goes
// to the posts at the axes of these rails, half of a bay to either side, all of it to the one
// post of a bay that ends in a wall, and never onto a rail that is free to spin. Carried by
// posts, each takes the weight of half of the bays beside it, its nodes above the foot that of their
// tributary heights, with the couple of the offset; a wall takes the other half of its bay.
type InfillWeight struct {
	Node   solver.NodeID
	Mass   float64    // kg that hangs on the node; 0 where rails carry the weight
	Arm    solver.Vec // m, from the node to that mass
	Thrust solver.Vec // kg, horizontal: by which the infill leans on the node
}

// Load returns the weight as a load of its node, for a free fall, m/s².
func (w *InfillWeight) Load(gravity solver.Vec) solver.NodeLoad {
	l := solver.NodeLoad{Node: w.Node}
	down := math.Sqrt(gravity[0]*gravity[0] + gravity[1]*gravity[1] + gravity[2]*gravity[2])
	var weight solver.Vec
	for k := range weight {
		weight[k] = w.Mass * gravity[k]
		l.Force[k] = weight[k] + w.Thrust[k]*down
	}
	l.Moment = solver.Vec{
		w.Arm[1]*weight[2] - w.Arm[2]*weight[1],
		w.Arm[2]*weight[0] - w.Arm[0]*weight[2],
		w.Arm[0]*weight[1] - w.Arm[1]*weight[0],
	}
	return l
}

// NodeWeights returns the loads of everything that weighs and is no tube, fittings and
// infill, for a free fall, m/s²: with the weight of the tubes under the same free fall they
// are the permanent actions.
func (f *Frame) NodeWeights(gravity solver.Vec) []solver.NodeLoad {
	var all []solver.NodeLoad
	for _, l := range f.Lumps {
		w := solver.NodeLoad{Node: l.Node}
		for k := range gravity {
			w.Force[k] = l.Mass * gravity[k]
		}
		all = append(all, w)
	}
	for i := range f.Infill {
		all = append(all, f.Infill[i].Load(gravity))
	}
	return all
}

// Stands says whether there is an infill.
func (i *Infill) Stands() bool { return i.Kind != NoInfill && i.Kind != "" }

// Height returns how high the infill is, m; 0 where there is none.
func (i *Infill) Height() float64 {
	if !i.Stands() {
		return 0
	}
	return i.Top - i.Bottom
}

// tributaryHeights divides the height from bottom to top among places at ascending heights:
// each takes what is nearest to it, m.
func tributaryHeights(bottom, top float64, at []float64) []float64 {
	heights := make([]float64, len(at))
	from := bottom
	for k := range at {
		to := top
		if k+1 < len(at) {
			to = min(max((at[k]+at[k+1])/2, bottom), top)
		}
		heights[k] = to - from
		from = to
	}
	return heights
}

// InfillMass returns the mass that an infill of some mass, kg/m², adds to a metre of a rail, kg/m,
// measured along the rail on a leg, as [InfillWeight] says.
func (d *Definition) InfillMass(mass float64, rail, leg int) float64 {
	in := &d.Infill
	k := slices.Index(in.Rails, rail)
	if !in.Stands() || in.Carrier != CarriedByRails || k < 0 {
		return 0
	}
	at := make([]float64, len(in.Rails))
	for j, r := range in.Rails {
		at[j] = d.Rails[r].Height
	}
	return mass * tributaryHeights(in.Bottom, in.Top, at)[k] * math.Cos(d.Run.legs()[leg].Pitch)
}

// InfillWeights returns what an infill of some mass, kg/m², does to nodes of posts.
func (f *Frame) InfillWeights(d *Definition, mass float64) (all []InfillWeight) {
	if in := &d.Infill; !in.Stands() || mass == 0 || in.Carrier == CarriedByRails && in.Offset == 0 {
		return nil
	}
	supports := d.Supports()
	for bay := range len(supports) - 1 {
		if !d.Run.IsGap(bay) {
			all = append(all, f.weighBay(d, mass, bay, supports[bay], supports[bay+1])...)
		}
	}
	return all
}

// weighBay returns what the posts at the ends of a bay carry of its infill.
func (f *Frame) weighBay(d *Definition, mass float64, bay int, from, to float64) (all []InfillWeight) {
	in, n := &d.Infill, d.Run.bays()+1
	leg := d.Run.LegOf((from + to) / 2)
	length := (to - from) * math.Cos(d.Run.legs()[leg].Pitch)
	outward := d.Run.Axes(leg)[1]
	for k := range outward {
		outward[k] *= d.Run.Hazard.Outward()
	}
	var posts []*PostFrame
	for _, support := range [2]int{bay, bay + 1} {
		if !d.Run.isWall(support, n) {
			posts = append(posts, &f.Posts[support-d.Run.PostSupport(0)])
		}
	}
	for _, post := range posts {
		if in.Carrier == CarriedByPosts {
			all = append(all, hung(post, in, mass*length/2, outward)...)
		} else {
			all = append(all, leaning(post, d, mass*length/float64(len(posts)), outward)...)
		}
	}
	return all
}

// hung returns what hangs on the nodes of a post above its foot of an infill of so many kg for
// each metre of its height.
func hung(post *PostFrame, in *Infill, mass float64, outward solver.Vec) (all []InfillWeight) {
	for k, height := range tributaryHeights(in.Bottom, in.Top, post.Levels[1:]) {
		if height <= 0 {
			continue
		}
		w := InfillWeight{Node: post.Nodes[k+1], Mass: mass * height}
		for axis := range outward {
			w.Arm[axis] = in.Offset * outward[axis]
		}
		all = append(all, w)
	}
	return all
}

// leaning returns how the same leans on a post where it hangs beside its rails: outward at the
// highest of them, inward at the lowest.
func leaning(post *PostFrame, d *Definition, mass float64, outward solver.Vec) (all []InfillWeight) {
	in := &d.Infill
	low, high := d.Rails[in.Rails[0]].Height, d.Rails[in.Rails[len(in.Rails)-1]].Height
	thrust := mass * in.Height() * in.Offset / (high - low) // kg
	for _, at := range []struct{ z, sign float64 }{{low, -1}, {high, 1}} {
		w := InfillWeight{Node: post.Nodes[levelAt(post.Levels, at.z)]}
		for axis := range outward {
			w.Thrust[axis] = at.sign * thrust * outward[axis]
		}
		all = append(all, w)
	}
	return all
}
