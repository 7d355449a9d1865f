#include "base/digest.h"

#include <nettle/base64.h>
#include <nettle/sha2.h>

#include "base/text.h"

void digest_add(struct text *out, const char *bytes, size_t n)
{
    struct sha256_ctx state;
    uint8_t digest[SHA256_DIGEST_SIZE];

    sha256_init(&state);
    sha256_update(&state, n, (const uint8_t *)bytes);
    sha256_digest(&state, sizeof digest, digest);
    for (size_t i = 0; i < sizeof digest; i++)
        text_printf(out, "%02x", digest[i]);
}

void digest_base64(struct text *out, const char *bytes, size_t n)
{
    char four[5] = "";

    for (size_t i = 0; i < n; i += 3) {
        base64_encode_raw(four, n - i < 3 ? n - i : 3,
                          (const uint8_t *)bytes + i);
        text_add(out, four);
    }
}
