package past

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// sparse is a phone's only folder with few pictures: month and day, hour, how many.
// Seldom are there more than one or two of an evening; noon is all else.
var sparse = map[string]string{
	"2023": `02-04/10/2 02-10/19/1 02-13/19/1 02-18/10/1 02-21/19/1 02-26/19/1 03-08/20/1 03-10/19/1 03-13/17/1 03-18/10/1
		03-21/12/1 03-23/19/1 03-26/19/1 03-28/20/1 04-02/13/1 04-04/19/1 04-09/19/1 04-11/19/1 04-24/20/2 05-11/20/3
		05-18/19/2 05-28/19/1 06-07/20/3 06-13/19/1 06-18/19/1 06-22/19/1 06-25/20/1 06-29/20/6 08-23/12/1 08-24/14/1
		09-19/18/1 09-27/12/1 11-10/11/1`,
	"2024": `01-20/11/2 01-26/20/2 01-31/20/1 02-05/20/2 02-14/20/2 02-22/14/1 02-24/11/1 02-28/20/1 03-06/17/1 03-07/10/1
		03-10/21/1 03-12/20/1 03-23/11/1 03-29/20/2 04-02/20/1 04-09/21/3 04-21/20/1 05-01/21/3 05-07/20/2 05-17/20/2
		05-21/09/1 05-28/21/3 06-14/20/1 06-19/20/1 06-24/20/2 06-27/20/7 09-07/11/2 09-12/20/1 09-15/20/1 09-18/21/2
		09-24/20/1 10-01/20/2 11-27/12/1`,
	"2025": `03-09/11/1 06-03/11/1 08-10/12/1`,
}

// A gap in which nothing of the bench was taken parts two builds also where few
// pictures were taken, and a kit that is looked over by day is of what follows.
func TestClearGapParts(t *testing.T) {
	files := map[string]*file{}
	root := filepath.Join(string(filepath.Separator), "phone")
	for year, words := range sparse {
		for _, word := range strings.Fields(words) {
			var n int
			at, err := time.Parse("2006-01-02/15", year+"-"+word[:len("01-02/15")])
			if _, scan := fmt.Sscan(word[len("01-02/15/"):], &n); err != nil || scan != nil {
				t.Fatal(word, err, scan)
			}
			for i := range n {
				at := at.Add(time.Duration(i*11) * time.Minute)
				sum := sha256.Sum256([]byte(at.String()))
				f := &file{path: filepath.Join(root, at.Format("060102-1504")+".jpg"), Hash: hex.EncodeToString(sum[:]), Kind: "jpeg",
					Width: 320, Height: 240, Turn: 1, Camera: journal.Camera{Make: "Tarrow", Model: "P5"}, Time: at.UnixNano(),
					Claims: media.Claims{List: []media.Claim{{Tag: "DateTimeOriginal", Text: at.Format("2006:01:02 15:04:05")}}}}
				files[f.path] = f
			}
		}
	}
	s := survey(&journal.State{Zone: time.UTC}, time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC), []string{root}, files)
	var got []string
	for _, l := range s.Likely() {
		got = append(got, l.First.Format(time.DateOnly)+" to "+l.Last.Format(time.DateOnly))
	}
	want := []string{"2023-02-04 to 2023-06-29", "2024-01-20 to 2024-06-27", "2024-09-07 to 2024-10-01"}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("likely builds %v, not %v", got, want)
	}
}
