// What a desktop needs to show the program and to start it.

package main

import (
	"fmt"
	"strings"
)

// desktopFile is the entry for the menus of desktops that follow freedesktop.org:
// Desktop Entry Specification 1.4. The program is found in PATH.
const desktopFile = `[Desktop Entry]
Version=1.4
Type=Application
Name=Rakelight
GenericName=Photo journal
Comment=A photo journal of scale-model builds
Exec=rakelight start
TryExec=rakelight
Icon=rakelight
Terminal=false
Categories=Graphics;Photography;
Keywords=model;kit;diary;photo;journal;
StartupNotify=false
`

// infoPlist is that of the application bundle for macOS. Source: Apple, Information
// Property List. It stands in the menu bar of nobody: its window is the browser's.
const infoPlist = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0">
<dict>
	<key>CFBundleName</key><string>Rakelight</string>
	<key>CFBundleIdentifier</key><string>rakelight</string>
	<key>CFBundleExecutable</key><string>rakelight</string>
	<key>CFBundleIconFile</key><string>rakelight</string>
	<key>CFBundlePackageType</key><string>APPL</string>
	<key>CFBundleInfoDictionaryVersion</key><string>6.0</string>
	<key>CFBundleVersion</key><string>%s</string>
	<key>CFBundleShortVersionString</key><string>%s</string>
	<key>LSUIElement</key><true/>
</dict>
</plist>
`

// forDesktop are the files of an archive that a desktop reads, and the program. On
// macOS that lies in an application bundle, and a link leads there.
func forDesktop(system string, of source, program []byte) ([]entry, error) {
	switch system {
	case "windows":
		ico, err := iconICO()
		return []entry{{name: "rakelight.exe", data: program, runs: true}, {name: "rakelight.ico", data: ico}}, err
	case "darwin":
		icns, err := iconICNS()
		version := plain(of.version)
		const bundle = "Rakelight.app/Contents/"
		return []entry{
			{name: bundle + "MacOS/rakelight", data: program, runs: true},
			{name: bundle + "Info.plist", data: fmt.Appendf(nil, infoPlist, version, version)},
			{name: bundle + "Resources/rakelight.icns", data: icns},
			{name: "rakelight", link: bundle + "MacOS/rakelight"},
		}, err
	}
	all := []entry{{name: "rakelight", data: program, runs: true},
		{name: "share/applications/rakelight.desktop", data: []byte(desktopFile)},
		{name: "share/icons/hicolor/scalable/apps/rakelight.svg", data: iconSVG()}}
	for _, n := range []int{16, 32, 48, 64, 128, 256} {
		data, err := iconPNG(n)
		if err != nil {
			return nil, err
		}
		all = append(all, entry{name: fmt.Sprintf("share/icons/hicolor/%dx%d/apps/rakelight.png", n, n), data: data})
	}
	return all, nil
}

// plain is a version as three numbers with dots, which is all that macOS reads.
func plain(version string) string {
	version, _, _ = strings.Cut(strings.TrimPrefix(version, "v"), "-")
	if strings.Trim(version, "0123456789.") != "" || version == "" {
		return "0"
	}
	return version
}
