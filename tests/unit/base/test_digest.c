/* Fingerprints and base 64 against the examples of their standards. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/digest.h"
#include "base/text.h"

static void gives(void (*add)(struct text *, const char *, size_t),
                  const char *bytes, const char *wanted)
{
    struct text text = {0};

    add(&text, bytes, strlen(bytes));
    assert_string_equal(text_str(&text), wanted);
    text_release(&text);
}

/* FIPS 180-4, examples "abc" and of two blocks, published by NIST; and the
 * empty message (values from memory). */
static void sha_256(void **state)
{
    (void)state;
    gives(digest_add, "abc",
          "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    gives(digest_add,
          "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    gives(digest_add, "",
          "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

/* RFC 4648, section 10. */
static void base_64(void **state)
{
    (void)state;
    gives(digest_base64, "", "");
    gives(digest_base64, "f", "Zg==");
    gives(digest_base64, "fo", "Zm8=");
    gives(digest_base64, "foo", "Zm9v");
    gives(digest_base64, "foob", "Zm9vYg==");
    gives(digest_base64, "fooba", "Zm9vYmE=");
    gives(digest_base64, "foobar", "Zm9vYmFy");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sha_256),
        cmocka_unit_test(base_64),
    };

    return cmocka_run_group_tests_name("digest", tests, NULL, NULL);
}
