# keepclear: `make help` lists the targets.
#
# Flavours: a plain build goes to build/release/, SANITIZE=address,undefined
# to build/address-undefined/; BUILD=folder names another folder.

CC = cc
FLEX = flex
BISON = bison
PKG_CONFIG = pkg-config
PREFIX = /usr/local
V = 0
SANITIZE =

comma := ,
FLAVOUR := $(if $(SANITIZE),$(subst $(comma),-,$(SANITIZE)),release)
BUILD = build/$(FLAVOUR)
B := $(BUILD)
Q := $(if $(filter 1,$(V)),,@)
SAY = $(if $(filter 1,$(V)),@:,@printf '  %-6s %s\n')

WARN := -Wall -Wextra -Wshadow -Wstrict-prototypes -Wmissing-prototypes \
        -Wpointer-arith -Wvla
# What flex and bison write is not ours to correct.
WARN_GENERATED := -Wall -Wextra -Wno-unused-function -Wno-sign-compare \
        -Wno-unused-parameter -Wno-unused-but-set-variable
CFLAGS = $(if $(SANITIZE),-g -O1 -fno-omit-frame-pointer,-g -O2)
SANITIZE_FLAGS := $(if $(SANITIZE),-fsanitize=$(SANITIZE) \
        -fno-sanitize-recover=all)
INCLUDE := -Isrc -I. -I$(B)/gen
COMPILE = $(CC) -std=gnu11 $(CFLAGS) $(SANITIZE_FLAGS) $(INCLUDE) \
        $(GRAPHVIZ_CFLAGS) $(CPPFLAGS) -MMD -MP

SOURCES := $(sort $(shell find src -name '*.c'))
HEADERS := $(sort $(shell find src grammar -name '*.h' 2>/dev/null))
LEXERS := $(sort $(wildcard grammar/*.l))
PARSERS := $(sort $(wildcard grammar/*.y))
GEN_C := $(LEXERS:%.l=$(B)/gen/%.lex.c) $(PARSERS:%.y=$(B)/gen/%.tab.c)
GEN_H := $(GEN_C:.c=.h)
# Scripts and style sheets of pages become texts of the program.
EMBEDDED := $(sort $(wildcard src/present/*.js src/present/*.css))
GEN_TEXT := $(EMBEDDED:%=$(B)/gen/%.c)
OBJECTS := $(SOURCES:%.c=$(B)/%.o) $(GEN_C:.c=.o) $(GEN_TEXT:.c=.o) \
        $(patsubst %.c,$(B)/%.o,$(sort $(wildcard grammar/*.c)))
MAIN := $(B)/src/main.o
LIBRARY := $(B)/libkeepclear.a
PROGRAM := $(B)/keepclear

TESTS := $(sort $(shell find tests/unit -name 'test_*.c' 2>/dev/null) \
        $(wildcard tests/outside/test_*.c tests/golden/test_*.c \
        tests/docs/test_*.c tests/fuzz/test_*.c tests/pages/test_*.c))
# Long comparisons of verdicts, run without sanitizers only.
LONG_TESTS := again agreement at_will compare compare_random effects \
        fault_random faults match models noticing pairs possible puzzles \
        sets_models sheetwords slices stopmap taken templates testsheet \
        testsheet_body testsheet_random threads unguarded verdicts why
LONG_UNITS := engine/tiles/test_models engine/tiles/test_threads \
        study/test_ended
ifneq ($(SANITIZE),)
SKIPPED := $(wildcard $(LONG_TESTS:%=tests/outside/test_%.c) \
        $(LONG_UNITS:%=tests/unit/%.c)) \
        $(addprefix tests/pages/,test_pages.c test_hostile.c test_reasons.c) \
        tests/docs/test_docs.c
endif
TEST_PROGRAMS := $(patsubst %.c,$(B)/%,$(filter-out $(SKIPPED),$(TESTS)))
SUPPORT_OBJECTS := $(patsubst %.c,$(B)/%.o,$(sort $(wildcard \
        tests/support/*.c)))
SUPPORT := $(B)/libsupport.a
# tests/bench/bench_*.c are programs, the other files there a library.
BENCHES := $(sort $(wildcard tests/bench/bench_*.c))
BENCH_PROGRAMS := $(BENCHES:%.c=$(B)/%)
BENCH_OBJECTS := $(patsubst %.c,$(B)/%.o,$(filter-out $(BENCHES),$(sort \
        $(wildcard tests/bench/*.c))))
BENCH_LIBRARY := $(B)/libbench.a

PAGE_TESTS := $(patsubst %.c,$(B)/%,$(sort $(wildcard \
        tests/pages/test_*.c)))

# Asked for only when something is compiled, so that `make deps` works before
# pkg-config is there.  The layout and output plug-ins are linked in: no
# search at run time, and the same picture whatever fonts a machine has.
ifneq ($(wildcard src/present/*.c),)
GRAPHVIZ_CFLAGS = $(subst -I,-isystem ,$(shell $(PKG_CONFIG) --cflags-only-I \
        libgvc libcgraph))
GRAPHVIZ_DIR = $(shell $(PKG_CONFIG) --variable=libdir libgvc)/graphviz
GRAPHVIZ_LIBS = $(shell $(PKG_CONFIG) --libs libgvc libcgraph) \
        -L$(GRAPHVIZ_DIR) -Wl,-rpath,$(GRAPHVIZ_DIR) \
        -lgvplugin_dot_layout -lgvplugin_core
endif
LINK = $(CC) $(CFLAGS) $(SANITIZE_FLAGS) $(LDFLAGS)
LIBS = $(GRAPHVIZ_LIBS) -lbdd -lgmp -lexpat -lnettle -lm $(LDLIBS)
CMOCKA_LIBS = $(shell $(PKG_CONFIG) --libs cmocka)

# How test programs find the program, and what sanitizers are told.
RUN_ENV = KEEPCLEAR=$(abspath $(PROGRAM)) \
        ASAN_OPTIONS=detect_stack_use_after_return=1:strict_string_checks=1:allocator_may_return_null=1 \
        LSAN_OPTIONS=suppressions=$(abspath tests/tools/lsan.supp):print_suppressions=0 \
        UBSAN_OPTIONS=print_stacktrace=1
JOBS := $(shell nproc 2>/dev/null || echo 2)
MAKEFLAGS += --no-print-directory

.DELETE_ON_ERROR:
.SUFFIXES:
.SECONDARY: $(GEN_C) $(GEN_TEXT)
.PHONY: all build deps demo test test-pages test-whole test-changes test-programs bench bench-programs \
        check-floors \
        check-headers format install clean help FORCE

all: build

# The plain build is also found at build/keepclear.
build: $(PROGRAM)
ifeq ($(B),build/release)
	@ln -sf release/keepclear build/keepclear
endif

help:
	@echo 'make                build the program: build/keepclear'
	@echo 'make demo           install what is missing, build, run the demonstration'
	@echo 'make test           install what is missing, build, run all tests'
	@echo 'make test-pages     the tests of pages, in a browser that it installs'
	@echo 'make test-whole     the tests, with the whole of the long comparisons'
	@echo 'make test-changes   small changes of models: many, by two roads'
	@echo 'make bench          build and run the measurements of tests/bench/'
	@echo 'make check-floors   prove from the #include lines who knows whom; caps'
	@echo 'make check-headers  compile each header alone'
	@echo 'make deps           install missing Debian packages'
	@echo 'make format         lay out changed lines of .c files'
	@echo 'make install        to PREFIX ($(PREFIX)), under DESTDIR'
	@echo 'make clean          remove build/'
	@echo 'SANITIZE=address,undefined  V=1  BUILD=folder  CC=...  CFLAGS=...'

deps:
	$(Q)CC='$(CC)' sh tests/tools/install-deps.sh

demo:
	@$(MAKE) deps
	@$(MAKE) build
	$(PROGRAM) check models/tailgate/tailgate.review

# ---- build ----

$(PROGRAM): $(MAIN) $(LIBRARY)
	$(SAY) LINK $@
	$(Q)$(LINK) -o $@ $(MAIN) $(LIBRARY) $(LIBS)

# The list notices a source that went away.
$(B)/objects.list: FORCE
	@mkdir -p $(@D)
	@echo '$(OBJECTS)' | cmp -s - $@ || echo '$(OBJECTS)' >$@

$(LIBRARY): $(filter-out $(MAIN),$(OBJECTS)) $(B)/objects.list
	$(SAY) AR $@
	@rm -f $@
	$(Q)$(AR) rcs $@ $(filter %.o,$^)

$(B)/gen/%.o: $(B)/gen/%.c Makefile | $(GEN_H)
	$(SAY) CC $@
	$(Q)$(COMPILE) $(WARN_GENERATED) -c -o $@ $<

$(B)/%.o: %.c Makefile | $(GEN_H)
	$(SAY) CC $@
	@mkdir -p $(@D)
	$(Q)$(COMPILE) $(WARN) -Werror -c -o $@ $<

$(B)/gen/%.tab.c $(B)/gen/%.tab.h &: %.y Makefile
	$(SAY) BISON $<
	@mkdir -p $(@D)
	$(Q)$(BISON) -Werror --header=$(B)/gen/$*.tab.h \
	    -o $(B)/gen/$*.tab.c $<

$(B)/gen/%.lex.c $(B)/gen/%.lex.h &: %.l Makefile
	$(SAY) FLEX $<
	@mkdir -p $(@D)
	$(Q)$(FLEX) --header-file=$(B)/gen/$*.lex.h -o $(B)/gen/$*.lex.c $<

# src/present/lesson.js becomes what embedded_lesson_js gives back.
$(B)/gen/src/present/%.c: src/present/% src/present/embed.sh
	$(SAY) EMBED $<
	@mkdir -p $(@D)
	$(Q)sh src/present/embed.sh $< >$@

# ---- tests ----

# A test takes of it what it asks for.
$(SUPPORT): $(SUPPORT_OBJECTS)
	@rm -f $@
	$(Q)$(AR) rcs $@ $^

$(TEST_PROGRAMS): $(B)/%: $(B)/%.o $(SUPPORT) $(LIBRARY)
	$(SAY) LINK $@
	$(Q)$(LINK) -o $@ $< $(SUPPORT) $(LIBRARY) $(CMOCKA_LIBS) $(LIBS)

$(BENCH_LIBRARY): $(BENCH_OBJECTS)
	@rm -f $@
	$(Q)$(AR) rcs $@ $^

$(BENCH_PROGRAMS): $(B)/%: $(B)/%.o $(BENCH_LIBRARY) $(SUPPORT) $(LIBRARY)
	$(SAY) LINK $@
	$(Q)$(LINK) -o $@ $< $(BENCH_LIBRARY) $(SUPPORT) $(LIBRARY) $(LIBS) \
	    -lbdd -ldl -lpthread

test-programs: build $(TEST_PROGRAMS)

test:
	$(Q)CC='$(CC)' sh tests/tools/install-deps.sh test
	@$(MAKE) test-programs
	@failed=0; \
	$(MAKE) check-headers || failed=$$((failed + 1)); \
	$(MAKE) check-floors || failed=$$((failed + 1)); \
	$(foreach test,$(SKIPPED),echo "skipped with sanitizers: $(test)"; ) \
	[ -z "$(SKIPPED)" ] || \
	    echo "$(words $(SKIPPED)) test programs skipped in this run"; \
	$(RUN_ENV) sh tests/tools/run-tests.sh $(B)/logs $(JOBS) $$failed \
	    $(TEST_PROGRAMS)

# Pages in a real browser, which is installed for it; `make test` looks at them
# where there is one.
test-pages:
	@CC='$(CC)' sh tests/tools/install-deps.sh pages
	@sh tests/tools/install-rules.sh build/npm
	@$(MAKE) build $(PAGE_TESTS)
	$(foreach test,$(PAGE_TESTS),$(RUN_ENV) $(test) &&) true

# The whole of the long comparisons, of which `make test` runs a sample.
test-whole:
	@$(MAKE) test BUILD=build/whole CPPFLAGS=-DTEST_WHOLE

# More changes than `make test` has time for; a program of its own.
test-changes: build $(B)/tests/outside/test_unguarded
	KEEPCLEAR_SAMPLE=long $(B)/tests/outside/test_unguarded

bench:
	@CC='$(CC)' sh tests/tools/install-deps.sh bench
	@$(MAKE) build
	@$(MAKE) bench-programs
	@for bench in $(BENCH_PROGRAMS); do \
	    $(RUN_ENV) "$$bench" || exit 1; \
	done

bench-programs: $(BENCH_PROGRAMS)

check-floors:
	@sh tests/tools/check-floors.sh .

# Twice: a header also has to bear being included again.
check-headers: $(GEN_H)
	@bad=0; \
	for header in $(patsubst src/%,%,$(HEADERS)); do \
	    printf '#include "%s"\n#include "%s"\n' $$header $$header | \
	    $(CC) -std=gnu11 $(WARN) -Werror $(INCLUDE) $(GRAPHVIZ_CFLAGS) \
	        -fsyntax-only -x c - || { echo "$$header: not alone"; bad=1; }; \
	done; \
	echo "headers: $(words $(HEADERS)) compiled alone"; exit $$bad

# Lines of C that are not committed yet, and no others; headers are laid out by
# hand: their tables of members would suffer.
format:
	@if command -v git-clang-format >/dev/null; then \
	    git clang-format --extensions c -- src tests; \
	else \
	    echo 'git-clang-format is not installed (package clang-format)'; \
	    exit 1; \
	fi

# ---- the rest ----

install: build
	install -d '$(DESTDIR)$(PREFIX)/bin'
	install -m 755 $(PROGRAM) '$(DESTDIR)$(PREFIX)/bin/keepclear'
	install -d '$(DESTDIR)$(PREFIX)/share/doc/keepclear'
	install -m 644 LICENSE '$(DESTDIR)$(PREFIX)/share/doc/keepclear/'

clean:
	rm -rf build

-include $(OBJECTS:.o=.d) $(TESTS:%.c=$(B)/%.d) $(SUPPORT_OBJECTS:.o=.d) \
        $(BENCHES:%.c=$(B)/%.d) $(BENCH_OBJECTS:.o=.d)
