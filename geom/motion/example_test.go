package motion_test

import (
	"context"
	"fmt"
	"strings"

	"conewright/geom/motion"
)

func ExampleRead() {
	file := "G21 G90 M83\nG28\nG1 X10 Y10 Z.2 F6000\nG1 X20 E.5 F1200 ; a bead\nM106 S255\n"
	_, err := motion.Read(context.Background(), strings.NewReader(file), motion.ReadOptions{}, func(e *motion.Event) error {
		switch {
		case e.Extrudes():
			fmt.Println("line", e.Line, "bead to", e.To, "E", e.E, "feed", e.Feed)
		case e.Kind == motion.Word || e.Kind == motion.Home:
			fmt.Println("line", e.Line, string(e.Text))
		}
		return nil
	})
	fmt.Println(err)
	// Output:
	// line 2 G28
	// line 4 bead to {20 10 0.2} E 0.5 feed 1200
	// line 5 M106 S255
	// <nil>
}
