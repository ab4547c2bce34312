// Package barrier reads the definition of a barrier (TOML), judges it, and gives its
// geometry and its frame.
//
// # Axes
//
// X runs along the barrier from start to end, Z is up with z = 0 at the finished walking
// surface, and Y is on the left walking from start to end: outward, towards the hazard.
// Heights of rails are those of their axes. Posts keep the x that the file gives them.
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
