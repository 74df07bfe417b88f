// Conewright prepares a part for filament printing in cone-shaped shells: with
// a window, or with -job and -out without one.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"conewright/app/headless"
	"conewright/app/settings"
	"conewright/app/trace"
	"conewright/app/window"
	"conewright/assets"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/app"
)

func main() { os.Exit(run(time.Now(), os.Args[1:])) }

func run(begun time.Time, words []string) int {
	if len(words) == 1 && (words[0] == "-help" || words[0] == "--help" || words[0] == "-h") {
		fmt.Print(headless.Usage)
		return headless.Done
	}
	args, err := headless.ParseArgs(words)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return headless.Unusable
	}
	if !args.Windowless() {
		return open(begun, args)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return headless.Main(ctx, args, os.Stdout, os.Stderr)
}

// open shows the window until it is closed.
func open(begun time.Time, args headless.Args) int {
	var frames *trace.Log
	if args.Trace != "" {
		var err error
		if frames, err = trace.Open(args.Trace, begun); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return headless.Unusable
		}
		defer frames.Close()
	}
	dir := settings.Dir()
	if err := i18n.Use(settings.Load(dir).Language); err != nil {
		fmt.Fprintln(os.Stderr, errors.Unwrap(err))
	}
	a := app.NewWithID("conewright")
	a.SetIcon(fyne.NewStaticResource("icon.png", assets.IconPNG))
	w := window.New(window.Options{App: a, SettingsDir: dir, Trace: frames})
	a.Lifecycle().SetOnStarted(w.ApplyAppearance)
	w.Show(args.Files)
	a.Run()
	return headless.Done
}
