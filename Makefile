# The tasks. `make` lists them; each is one of the scripts or a go command.
.PHONY: help build check test golden bench speed demo
help:
	@echo "build   the program, its manual pages, completions, and the desk for browsers"
	@echo "check   everything continuous integration runs"
	@echo "test    the short set of tests: under a minute; check runs them all"
	@echo "golden  write the golden files anew (then look at them)"
	@echo "bench   benchmarks of the engine"
	@echo "speed   how long the program takes, beside the commit before"
	@echo "demo    build, and plan the example garage into out/, and show it on the page"
check:
	bash scripts/check.sh
test:
	go test -short ./...
golden:
	go test ./plan ./drawing ./scene/svg ./document ./cmd/gelwright -update
bench:
	go test -run '^$$' -bench . ./...
speed:
	bash scripts/speed.sh
demo:
	bash scripts/demo.sh
build:
	bash scripts/build.sh
