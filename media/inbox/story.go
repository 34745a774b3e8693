// A photo's story in lines, for the person who asks why it is where it is.

package inbox

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/wording"
)

// Story tells what each step saw, one line a step: the file, the instant and
// how it is known, each tag and its reason, where the original lies. The
// camera's serial number is left out: the lines may be shown to others.
func Story(p *journal.Photo, s *journal.State) []string {
	from := "inbox/"
	if p.Folder != "" {
		from = p.Folder + "/"
	}
	lines := []string{
		fmt.Sprintf("photo    %s", p.Short()),
		fmt.Sprintf("file     %s, from %s; %s, %d × %d pixels upright, %d bytes", p.Name, from, p.Format, p.Width,
			p.Height, p.Size),
	}
	switch {
	case p.Clip():
		lines[1] = fmt.Sprintf("file     %s, from %s; %s, %s long, %d × %d pixels upright (%s), %d bytes", p.Name, from,
			p.Format, journal.LengthOf(p.Length), p.Frame[0], p.Frame[1], p.Codec, p.Size)
	case p.Width == 0:
		lines[1] = fmt.Sprintf("file     %s, from %s; %s, %d bytes", p.Name, from, p.Format, p.Size)
	}
	for _, name := range []string{"picture", "color", "colour"} {
		if why := wording.Why(p.Why[name]); why != "" {
			label := name
			if name == "colour" { // as photos taken in earlier spell it
				label = "color"
			}
			lines = append(lines, fmt.Sprintf("%-8s %s", label, why))
		}
	}
	if camera := strings.TrimSpace(p.Camera.Make + " " + p.Camera.Model); camera != "" {
		lines = append(lines, "camera   "+camera)
	}
	lines = append(lines, instantLines(p, s)...)
	tags := p.Tags
	kit, parts := "", make([]string, 0, len(tags.Parts))
	if tags.Kit != 0 {
		kit = fmt.Sprint(tags.Kit)
	}
	for _, part := range tags.Parts {
		parts = append(parts, part.String())
	}
	for _, t := range []struct{ name, value string }{
		{"build", tags.Build}, {"kit", kit}, {"stage", tags.Stage}, {"role", tags.Role},
		{"view", tags.View}, {"light", tags.Light}, {"parts", strings.Join(parts, ", ")},
	} {
		why := wording.Why(p.Why[t.name])
		switch {
		case t.value != "" && why != "":
			lines = append(lines, fmt.Sprintf("%-8s %s: %s", t.name, t.value, why))
		case t.value != "":
			lines = append(lines, fmt.Sprintf("%-8s %s", t.name, t.value))
		case why != "":
			lines = append(lines, fmt.Sprintf("%-8s none: %s", t.name, why))
		}
	}
	for _, lost := range s.LostFolders(p) {
		lines = append(lines, "folder   "+strings.TrimPrefix(lost.String(), "folder "))
	}
	lines = append(lines, cardLines(p, s)...)
	if p.Caption != "" {
		lines = append(lines, "caption  "+strings.Join(strings.Fields(p.Caption), " "))
	}
	switch p.Burst {
	case "":
	case p.Hash:
		lines = append(lines, "burst    it is shown for a burst: the sharpest of several taken within seconds")
	default:
		lines = append(lines, "burst    it is one of a burst; "+p.Burst[:min(8,
			len(p.Burst))]+" is shown for all of them")
	}
	if one := s.InSeries(p); one != nil {
		lines = append(lines, fmt.Sprintf("series   it is one of a series of %d photos, one every %s, from %s to %s", one.Frames,
			journal.SpellShort(one.Step), one.First.Format("2006-01-02 15:04:05"), one.Last.Format("15:04:05")))
	}
	for _, o := range p.Beside {
		line := fmt.Sprintf("beside   %s, %s, %d bytes, kept as %s", o.Name, o.Format, o.Size, o.Path)
		if why := wording.Link(o.Why); why != "" {
			line += ": " + why
		}
		lines = append(lines, line+" (record "+o.Record+")")
	}
	for _, r := range s.RepairsOf(p) {
		lines = append(lines, fmt.Sprintf("repaired %s: %s (record %s)", r.At.In(s.ZoneAt(r.At)).Format(time.DateOnly),
			r, r.Record))
	}
	return append(lines,
		"kept     "+p.Path,
		"record   "+p.Record)
}

// cardLines tell which bench cards were seen in the photo, what each did, and
// the session it touched.
func cardLines(p *journal.Photo, s *journal.State) []string {
	var lines, sessions []string
	if p.CardsBy != "" {
		var read []string
		for _, c := range p.Cards {
			if one, err := journal.ParseCard(c.Text); err == nil {
				read = append(read, one.String())
			}
		}
		line := "cards    a person said what they say (record " + p.CardsBy + ")"
		if len(read) > 0 {
			line += "; read was: " + strings.Join(read, ", ")
		}
		lines = append(lines, line)
	}
	for _, c := range s.Cards {
		if c.Photo != p.Hash {
			continue
		}
		lines = append(lines, fmt.Sprintf("card     %s: %s", c.Card, c.Came()))
		i := slices.IndexFunc(s.Sessions, func(one *journal.Session) bool { return one.ID == c.Session })
		if i < 0 {
			continue
		}
		if line := sessionLine(s.Sessions[i], s); !slices.Contains(sessions, line) {
			sessions = append(sessions, line)
		}
	}
	return append(lines, sessions...)
}

// sessionLine is a session as far as it is known by now.
func sessionLine(one *journal.Session, s *journal.State) string {
	line := fmt.Sprintf("session  %s: %s of %s, ", one.ID, one.Stage, one.Build)
	start := one.Start.In(s.ZoneAt(one.Start)).Format("2006-01-02 15:04")
	if one.Open {
		line += "running since " + start
	} else {
		line += start + one.End.In(s.ZoneAt(one.End)).Format(" to 15:04") + ", " + journal.Spell(one.Net) + " " +
			one.Known
	}
	if one.Counted {
		line += fmt.Sprintf(", %d done", one.Done())
	}
	if how := wording.How(one.How); how != "" {
		line += "; " + how
	}
	return line
}

// instantLines tell when the photo was taken and how that is known.
func instantLines(p *journal.Photo, s *journal.State) []string {
	i := p.Instant
	if p.DatedBy != "" {
		line := "taken    " + i.Told("2006-01-02 15:04:05 -07:00")
		if i.Doubts.Any() {
			line += ", " + wording.Doubts(i.Doubts)
		}
		return []string{line + ": a person said so (" + journal.Typed("rakelight retract %s", p.DatedBy) +
			" takes it back)"}
	}
	line := "taken    " + i.At.Format("2006-01-02 15:04:05 -07:00") + ", from its " + i.Source
	if i.Wall != "" {
		line += " (" + i.Wall + ")"
	}
	lines := []string{line}
	switch i.Offset {
	case journal.StatedOffset:
		lines = append(lines, "zone     the file states it")
	case journal.FromGPS:
		lines = append(lines, "zone     from the satellite time in the file")
	case journal.ByStandard:
		line := "zone     its time is UTC; the zone is " + s.ZoneAt(i.At).String()
		if i.Meant != "" {
			line += ", " + wording.Meant(i.Meant)
		}
		lines = append(lines, line)
	case journal.HomeOffset:
		if i.Meant != "" {
			lines = append(lines, "zone     the journal's, "+s.ZoneAt(i.At).String()+": its time is local, "+
				wording.Meant(i.Meant))
			break
		}
		lines = append(lines, "zone     the journal's, "+s.ZoneAt(i.At).String()+": the file states none")
	}
	if i.Corrected.Any() {
		lines = append(lines, "clock    the camera's was "+wording.Fault(i.Corrected)+"; taken into account")
	}
	if i.Doubts.Any() {
		lines = append(lines, "doubt    "+wording.Doubts(i.Doubts))
	}
	if i.Passed.Any() {
		lines = append(lines, "passed   "+wording.Doubts(i.Passed))
	}
	return lines
}
