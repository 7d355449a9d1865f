/* digest.h - bytes as letters, by the nettle library: fingerprints, SHA-256
 * (FIPS 180-4), and base 64. */
#ifndef KEEPCLEAR_BASE_DIGEST_H
#define KEEPCLEAR_BASE_DIGEST_H

#include <stddef.h>

struct text;

/* Adds 64 hexadecimal digits. */
void digest_add(struct text *out, const char *bytes, size_t n);

/* Adds them in base 64 (RFC 4648). */
void digest_base64(struct text *out, const char *bytes, size_t n);

#endif
