/* Sequences as paths through the diagram of situations, read off the log
 * sheets of models/tailgate. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/diagram.h"
#include "reference/replay.h"
#include "study/check.h"
#include "study/load.h"
#include "study/map.h"
#include "study/mappath.h"

struct asked {
    struct loaded *loaded;
    struct study study;
    struct map map;
};

/* The sequence of one requirement through the map by these variables,
 * without faults. */
static void begin(struct asked *asked, const char *control,
                  const char *requirement, const char *by)
{
    const struct load_request request = {
        .path = "models/tailgate/tailgate.review", .control = control};
    const struct model *model;
    bool only[64] = {false};
    struct study_setting setting = {.only = only, .quick = true};
    const struct findings *findings;
    struct shown_list shown;

    asked->loaded = load_run(&request);
    model = asked->loaded->model;
    assert_non_null(model);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        only[r] = strcmp(model->requirements[r].name->spelling,
                         requirement) == 0;
    findings = check_model(asked->loaded->arena, model, &setting,
                           asked->loaded->diags);
    assert_non_null(findings->requirements[0].sequence);
    shown = shown_read(asked->loaded->arena, asked->loaded->names, model, by);
    assert_null(shown.failure);
    setting.only = NULL;
    assert_true(study_open(&asked->study, asked->loaded->arena, model,
                           &setting, asked->loaded->diags));
    asked->map = *map_build(&asked->study, &shown, 0);
    asked->map.path = mappath_find(asked->loaded->arena, &asked->map,
                                   findings->requirements[0].sequence);
}

static void end(struct asked *asked)
{
    study_close(&asked->study);
    loaded_free(asked->loaded);
}

static void value_is(const struct asked *asked, uint32_t node,
                     uint32_t shown, int64_t value)
{
    assert_int_equal(asked->map.nodes[node].value[shown], value);
}

/* Both hands from 0.3 s on, shut at 0.6 s: Narrow (1) to Shut (0). */
static void test_example(void **unused)
{
    struct asked a;
    const struct map_path *path;
    struct map_path named;
    struct text dot = {0};

    (void)unused;
    begin(&a, NULL, "R15", "gap");
    path = a.map.path;
    assert_null(path->internal_error);
    assert_int_equal(path->n_steps, 1);
    value_is(&a, path->first, 0, 1);
    value_is(&a, a.map.edges[path->steps[0].edge].from, 0, 1);
    value_is(&a, a.map.edges[path->steps[0].edge].to, 0, 0);
    assert_int_equal(path->steps[0].time, 600);
    named = *path;
    named.name = "R15";
    named.words = "an example";
    a.map.path = &named;
    diagram_dot(&dot, &a.map, a.loaded->sources);
    assert_non_null(strstr(text_str(&dot), "Thick: R15, an example."));
    assert_non_null(strstr(text_str(&dot), "STEP"));
    text_release(&dot);
    end(&a);
}

/* A wire that touches another one lowers the gate with one hand.  In the map
 * without faults there is no such way. */
static void test_no_such_way(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, "models/tailgate/changes/single_contacts.st", "R1",
          "close_left,close_right,lower_valve");
    assert_non_null(a.map.path->internal_error);
    end(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_example),
        cmocka_unit_test(test_no_such_way),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
