// rakelight devices: the devices that are let in, and how one is taken out.

package main

import (
	"text/tabwriter"
	"time"

	"github.com/spf13/pflag"

	"rakelight/render/guard"
)

var devicesCmd = &command{
	name: "devices", line: "list the devices that are let in, or take one out",
	usage: `Usage: rakelight devices [--forget NAME]

Lists the phones and tablets that were let in by rakelight watch --lan: what you
called each, since when it is let in, and the day it was last seen. Each computer
lets in devices of its own; the list lies in .cache, and without it all are to be
let in anew.

  --forget NAME   let a device in no longer; a watch that runs heeds it at once

Example:
  rakelight devices
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("devices", pflag.ContinueOnError)
		forget := fs.String("forget", "", "")
		j, _, err := a.openWith(fs, args, takes(0, 0, "devices takes no name; --forget NAME takes a device out"))
		if err != nil {
			return err
		}
		devices := guard.DevicesOf(j.Dir)
		if fs.Changed("forget") {
			if err := devices.Forget(*forget); err != nil {
				return err
			}
			a.printf("%s is let in no longer.\n", *forget)
			return nil
		}
		return a.printDevices(devices)
	},
}

func (a *app) printDevices(devices guard.Devices) error {
	all, err := devices.All()
	if err != nil {
		return err
	}
	if len(all) == 0 {
		a.println("No device is let in. rakelight watch --lan lets one in.")
		return nil
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fprintf(t, "device\tlet in\tlast seen\n")
	for _, one := range all {
		fprintf(t, "%s\t%s\t%s\n", one.Name, one.Since.Local().Format(time.DateOnly), one.Seen)
	}
	return t.Flush()
}
