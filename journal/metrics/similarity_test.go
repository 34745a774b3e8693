// Test of laying points over points against published values.

package metrics

import (
	"math"
	"testing"
)

func TestSimilarityPublished(t *testing.T) {
	s, err := SimilarityOf([][2]float64{{0, 0}, {1, 0}, {0, 2}}, [][2]float64{{0, 0}, {-1, 0}, {0, 2}})
	if err != nil {
		t.Fatal(err)
	}
	sin, cos := math.Sincos(s.Turn)
	got := map[string]float64{"r11": cos, "r12": -sin, "r21": sin, "r22": cos, "c": s.Scale, "t1": s.DX, "t2": s.DY, "mean_squared_error": s.Error * s.Error}
	for _, row := range table(t, "14_similarity_umeyama.csv") {
		near(t, row["quantity"], got[row["quantity"]], num(t, row["recomputed"]), 1e-9)
	}
	if _, err := SimilarityOf([][2]float64{{1, 1}, {1, 1}}, [][2]float64{{0, 0}, {1, 0}}); err == nil {
		t.Error("two points in one place fixed a similarity")
	}
}
