// Package barrier reads the definition of a barrier (TOML), judges it, and gives its
// geometry and its frame.
//
// # Axes
//
// X runs along the barrier from start to end, Z is up with z = 0 at the finished walking
// surface, and Y is on the left walking from start to end. Outward, towards the hazard, is
// +Y, or -Y where run.hazard is "right". Heights of rails are those of their axes. Posts and
// walls keep the x that the file gives them.
//
// # Ends of the run
//
// A run stands on supports: its posts, and a wall at either end where start or end say so.
// The first place of posts, or x = 0 of length with spacing, is then that of the wall, and
// no post stands there; posts count from 1 without the walls. A bay lies between two
// supports. A wall holds the rails across and vertically, and what its long form adds:
//
//	start = { kind = "wall", along = "held", rotation = ["run", "up"] }
//
// rotation is "free", "held" for all three, or a list of axes of run, outward and up. At a
// free end the rails may run past the last post by an overhang.
//
// # Limits of movement
//
// A limit is a length or a rule, a sum of lengths and of shares of the height h and the bay L:
// "25 mm", "h/24 + L/96", "h/120 + 5 mm". Definition.RuleHeight is h; Limit.At evaluates it.
//
// # Definition
//
// Parse returns a Definition with every default resolved and every quantity in SI, or
// all the problems of the file at once, sorted by position:
//
//	gallery.toml:14:10: post.height: quantity has no unit: 1100
//	  14 | height = 1100
//	     |          ^^^^
//	     fix: write the unit in quotes, likely "1100 mm"; units of a length: mm, m, ...
//
// A key that the format has and this version does not read is refused as not supported
// yet; any other unknown key is answered with the nearest known one. A fault that only
// follows from another is not reported. Every default that bears on the result is a
// sentence of Definition.Assumptions.
//
// # Limits
//
// A definition is at most MaxFileSize long and has at most MaxPosts posts, MaxRails rails
// and MaxLoads loads.
package barrier
