package metrics

import (
	"testing"

	"rakelight/journal/say"
)

// A reason is one value whatever it is put into, and says the same in each language.
func TestWhy(t *testing.T) {
	german, ok := say.In("de", nil)
	if !ok {
		t.Fatal("there is no German")
	}
	few := tooFew(Because("%s at the bench, %d needed", say.Count{N: 1, Noun: "week"}, 4))
	if few != tooFew(Because("%s at the bench, %d needed", say.Count{N: 1, Noun: "week"}, 4)) || !few.Any() || (Why{}).Any() {
		t.Error("two alike are not the same")
	}
	pace := Pace{OK: true, PerHour: 18.53, N: 12, Uncounted: 1, UncountedHours: 1.5, AtLeast: 16.1,
		Interval: Interval{Low: 15.1, High: 22.2, OK: true}}
	compared := Comparison{OK: true, Speed: 1.414, N1: 9, N2: 1, Coverage: 0.8, Interval: Interval{Low: 0.9, High: 2.1, OK: true}}
	for _, c := range []struct {
		of              say.Wording
		english, german string
	}{
		{few, "too few to tell: 1 week at the bench, 4 needed", "zu wenig, um etwas zu sagen: 1 Woche am Basteltisch, nötig sind 4"},
		{Why{}, "", ""},
		{Because("earlier build: %s", noParts), "earlier build: no parts done", "früheres Modell: keine Teile erledigt"},
		{pace.Sentence("Cleanup", "part"),
			"Cleanup: 18.5 parts an hour (15.1 to 22.2; 12 sessions); on 1 evening more (1.5 h) nothing was counted, and if nothing got done then it was 16.1 an hour.",
			"Cleanup: 18,5 Teile pro Stunde (15,1 bis 22,2; 12 Sitzungen); an 1 Abend dazu (1,5\u00a0h) wurde nichts gezählt, und falls da nichts fertig wurde, waren es 16,1 pro Stunde."},
		{compared.Sentence("Lorry", "Pilot boat"),
			"Pilot boat against Lorry: 1.41 times the speed on the same kinds of work (range 0.90 to 2.10; 1 session against 9; covers 80 % of the later build's counted hours); that may be chance.",
			"Pilot boat gegenüber Lorry: 1,41-faches Tempo bei denselben Arten von Arbeit (Spanne 0,90 bis 2,10; 1 Sitzung gegenüber 9; deckt 80\u00a0% der gezählten Stunden des späteren Modells ab); das kann Zufall sein."},
		{Repeats{}.Sentence(""), "", ""},
	} {
		if got := c.of.In(say.English()); got != c.english {
			t.Errorf("%q, want %q", got, c.english)
		}
		if got := c.of.In(german); got != c.german {
			t.Errorf("%q, want %q", got, c.german)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a reason lost an argument")
		}
	}()
	Because("%d %d %d %d", 1, 2, 3, 4)
}
