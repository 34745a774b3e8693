// The first page: the years with what lies in them, the folders, and what is proposed.

package past

import (
	"fmt"
	"time"

	old "rakelight/media/past"
)

// yearsPage is the first page.
type yearsPage struct {
	Axis     *axis
	Groups   []groupValues // builds and likely ones
	Between  []groupValues // by year, what belongs to none
	Next     *groupValues  // the first that is neither named nor left out, nil = none
	Begun    bool          // one is named
	Pictures int
	Copies   int // that are shown with another
	Wanted   int
	Size     string
	Clocks   []clockAsk
	Left     []leftLine
	Roots    []rootLine
}

// clockAsk is a camera whose clock seems to have been wrong.
type clockAsk struct{ Camera, Make, Model, Serial, Fast, From, To, Words string }

// leftLine are files that were not read, for one reason.
type leftLine struct {
	Why   string
	Count int
	Paths []string // some of them; none for a device
}

// rootLine is a folder that was looked through.
type rootLine struct {
	Path     string
	Pictures int
	Gone     bool // it cannot be found now
}

func overview(a *asking) any {
	page := yearsPage{Axis: a.axis(nil), Pictures: len(a.pictures), Copies: len(a.survey.Pictures) - len(a.pictures)}
	var size int64
	for _, g := range a.groups {
		if v := a.values(g); g.year != "" {
			page.Between = append(page.Between, v)
		} else {
			page.Groups = append(page.Groups, v)
			if page.Begun = page.Begun || v.Named; page.Next == nil && !v.Named && v.Out < v.Pictures {
				page.Next = &v
			}
		}
		n, bytes := g.wanted()
		page.Wanted, size = page.Wanted+n, size+bytes
	}
	page.Size = bytesOf(size)
	for _, c := range a.survey.Clocks {
		page.Clocks = append(page.Clocks, clockOf(c))
	}
	device := isDevice(a.request)
	page.Left = leftLines(a.survey.Left, !device)
	if !device {
		page.Roots = a.roots()
	}
	return page
}

const mostPaths = 20 // of files for one reason that are listed

func leftLines(left []old.Left, paths bool) []leftLine {
	at := map[string]int{}
	var all []leftLine
	for _, one := range left {
		i, known := at[one.Why]
		if !known {
			i, all = len(all), append(all, leftLine{Why: one.Why})
			at[one.Why] = i
		}
		if all[i].Count++; paths && len(all[i].Paths) < mostPaths {
			all[i].Paths = append(all[i].Paths, one.Path)
		}
	}
	return all
}

func clockOf(c old.Clock) clockAsk {
	name := joined(" ", c.Camera.Make, c.Camera.Model)
	way, by := "fast", c.Fast
	if by < 0 {
		way, by = "slow", -by
	}
	return clockAsk{Camera: name, Make: c.Camera.Make, Model: c.Camera.Model, Serial: c.Camera.Serial,
		Fast: c.Fast.String(), From: c.From, To: c.To,
		Words: "The clock of " + name + " seems to have been " + lengthWords(by) + " " + way + ": moved, " +
			fmt.Sprintf("%d of its %s fall on evenings of other cameras, as it is %d.", c.Would,
				count(c.Evenings, "evening"), c.Does)}
}

// lengthWords is a length of time as a person says it.
func lengthWords(d time.Duration) string {
	days := int(d / (24 * time.Hour))
	switch {
	case days >= 2:
		return count(days, "day")
	case d >= time.Hour:
		return d.Round(time.Minute).String()
	}
	return count(int(d.Round(time.Minute)/time.Minute), "minute")
}
