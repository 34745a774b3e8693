// Small vector arithmetic for the drawing: points, directions and linear colors.

package scene

import "math"

// v3 is a point, a direction or a linear-light color.
type v3 struct{ X, Y, Z float64 }

func (a v3) add(b v3) v3      { return v3{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }
func (a v3) sub(b v3) v3      { return v3{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
func (a v3) mul(k float64) v3 { return v3{a.X * k, a.Y * k, a.Z * k} }
func (a v3) by(b v3) v3       { return v3{a.X * b.X, a.Y * b.Y, a.Z * b.Z} }
func (a v3) dot(b v3) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }
func (a v3) len() float64     { return math.Sqrt(a.dot(a)) }
func (a v3) mix(b v3, t float64) v3 {
	return v3{a.X + (b.X-a.X)*t, a.Y + (b.Y-a.Y)*t, a.Z + (b.Z-a.Z)*t}
}

func (a v3) cross(b v3) v3 {
	return v3{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// unit gives the zero vector back unchanged, so a degenerate face shades black
// instead of spreading NaN over the picture.
func (a v3) unit() v3 {
	l := a.len()
	if l == 0 {
		return a
	}
	return a.mul(1 / l)
}

func (a v3) low(b v3) v3  { return v3{min(a.X, b.X), min(a.Y, b.Y), min(a.Z, b.Z)} }
func (a v3) high(b v3) v3 { return v3{max(a.X, b.X), max(a.Y, b.Y), max(a.Z, b.Z)} }

// frame is an orthonormal basis: where a piece's own axes point in the world.
type frame struct{ x, y, z v3 }

var upright = frame{v3{1, 0, 0}, v3{0, 1, 0}, v3{0, 0, 1}}

func (f frame) out(p v3) v3 { return f.x.mul(p.X).add(f.y.mul(p.Y)).add(f.z.mul(p.Z)) }
func (f frame) in(p v3) v3  { return v3{f.x.dot(p), f.y.dot(p), f.z.dot(p)} }

// turned returns the frame turned by a radians about the vertical axis.
func turned(a float64) frame {
	s, c := math.Sincos(a)
	return frame{v3{c, 0, -s}, v3{0, 1, 0}, v3{s, 0, c}}
}

// laid returns the frame of a piece that was stood on its z side and lies flat:
// its own z axis points up; a turns it on the bench.
func laid(a float64) frame {
	s, c := math.Sincos(a)
	return frame{v3{c, 0, s}, v3{s, 0, -c}, v3{0, 1, 0}}
}

func clamp01(x float64) float64 {
	if x < 0 {
		return 0
	}
	if x > 1 {
		return 1
	}
	return x
}

// smooth rises from 0 at a to 1 at b without a kink.
func smooth(a, b, x float64) float64 {
	t := clamp01((x - a) / (b - a))
	return t * t * (3 - 2*t)
}

func lerp(a, b, t float64) float64 { return a + (b-a)*t }

// rgb turns a display color 0xRRGGBB into linear light.
func rgb(hex uint32) v3 {
	f := func(b uint32) float64 { return math.Pow(float64(b&255)/255, 2.2) }
	return v3{f(hex >> 16), f(hex >> 8), f(hex)}
}
