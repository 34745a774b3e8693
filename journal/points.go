// This file keeps and folds pairs of points by which two photos are laid over
// each other by hand.

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// How many spots of two photos a person points at to lay one over the other.
const (
	FewestPoints = 2
	MostPoints   = 3
)

// PointPair is one spot in two photos: x and y in the one, x and y in the other,
// as shares of the width and height of each upright picture, 0 to 1.
type PointPair [4]float64

// swapped is the same spot with the photos exchanged.
func (p PointPair) swapped() PointPair { return PointPair{p[2], p[3], p[0], p[1]} }

// Points are the spots by which two photos are laid over each other.
type Points struct {
	A, B   string // hashes of the photos, A the smaller
	Pairs  []PointPair
	Record string
}

// nearest is how near two spots of one photo may be, as a share of its sides:
// nearer ones fix no turn and no scale.
const nearest = 0.02

// CheckPoints says why pairs of points cannot lay a photo over another.
func CheckPoints(pairs []PointPair) error {
	if len(pairs) < FewestPoints || len(pairs) > MostPoints {
		return fmt.Errorf("it takes %d or %d spots, not %d", FewestPoints, MostPoints, len(pairs))
	}
	for i, p := range pairs {
		for _, v := range p {
			if !(v >= 0 && v <= 1) {
				return fmt.Errorf("spot %d lies outside of its picture", i+1)
			}
		}
		for k, q := range pairs[:i] {
			if math.Hypot(p[0]-q[0], p[1]-q[1]) < nearest || math.Hypot(p[2]-q[2], p[3]-q[3]) < nearest {
				return fmt.Errorf("spots %d and %d lie too near each other", k+1, i+1)
			}
		}
	}
	return nil
}

// PointsOf returns how a person laid two photos over each other, with a's
// places first, and the record that says so. There are none if nobody did.
func (s *State) PointsOf(a, b *Photo) (pairs []PointPair, record string) {
	for _, p := range s.Points {
		switch {
		case p.A == a.Hash && p.B == b.Hash:
			return slices.Clone(p.Pairs), p.Record
		case p.A == b.Hash && p.B == a.Hash:
			for _, one := range p.Pairs {
				pairs = append(pairs, one.swapped())
			}
			return pairs, p.Record
		}
	}
	return nil, ""
}

// points folds a record of points: the latest of two photos counts.
func (f *folding) points(r Record) error {
	b, err := read[PointsBody](r)
	if err != nil {
		return err
	}
	x, y := f.shown(b.A), f.shown(b.B)
	switch {
	case x == nil:
		return &absentError{"photo", b.A}
	case y == nil:
		return &absentError{"photo", b.B}
	case x == y:
		return errors.New("it lays a photo over itself")
	}
	if err := CheckPoints(b.Pairs); err != nil {
		return err
	}
	p := Points{A: x.Hash, B: y.Hash, Pairs: b.Pairs, Record: r.ID()}
	if p.A > p.B {
		p.A, p.B = p.B, p.A
		for i, one := range p.Pairs {
			p.Pairs[i] = one.swapped()
		}
	}
	i, found := slices.BinarySearchFunc(f.state.Points, p, func(a, b Points) int {
		return cmp.Or(cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
	if found {
		f.state.Points[i] = p
		return nil
	}
	f.state.Points = slices.Insert(f.state.Points, i, p)
	return nil
}
