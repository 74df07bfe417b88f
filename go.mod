module conewright

go 1.25

require (
	codeberg.org/go-fonts/liberation v0.5.0 // indirect
	codeberg.org/go-latex/latex v0.2.0 // indirect
	codeberg.org/go-pdf/fpdf v0.11.1 // indirect
	fyne.io/fyne/v2 v2.7.1 // indirect
	git.sr.ht/~sbinet/gg v0.7.0 // indirect
	github.com/adrg/xdg v0.5.3 // indirect
	github.com/ajstarks/svgo v0.0.0-20211024235047-1546f124cd8b // indirect
	github.com/ctessum/go.clipper v0.1.2 // indirect
	github.com/fogleman/gg v1.3.0 // indirect
	github.com/fogleman/ln v0.0.0-20170223135521-12e6c6e74459 // indirect
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0 // indirect
	github.com/google/go-cmp v0.7.0 // indirect
	github.com/hpinc/go3mf v0.24.0 // indirect
	github.com/hschendel/stl v1.0.4 // indirect
	github.com/natefinch/atomic v1.0.1 // indirect
	github.com/oliverbestmann/earcut-go v1.0.0 // indirect
	github.com/qmuntal/opc v0.7.10 // indirect
	golang.org/x/image v0.30.0 // indirect
	golang.org/x/sys v0.30.0 // indirect
	golang.org/x/text v0.28.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
	gonum.org/v1/plot v0.17.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
