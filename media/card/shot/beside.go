package shot

import "math"

// InPlane is a card like p that lies in the plane of p with its middle at x, y of
// the photo, turned, and printed at a share of the size of p. A card that was
// printed smaller looks like one that lies farther away by as much.
func (p Placed) InPlane(x, y, turn, printed float64, width, height int) Placed {
	sa, ca := math.Sincos(p.TiltAxis)
	sn, cs := math.Sincos(p.Tilt)
	normal := [3]float64{sa * sn, -ca * sn, cs}
	// How far away, by the distance of the plane, a point of the photo lies.
	toward := func(x, y float64) float64 {
		u, v := (x-0.5)/lens, (y-0.5)*float64(height)/float64(width)/lens
		return 1 / (normal[0]*u + normal[1]*v + normal[2])
	}
	q := p
	q.X, q.Y, q.Turn = x, y, turn
	q.Share = p.Share * toward(p.X, p.Y) / toward(x, y) * printed
	return q
}
