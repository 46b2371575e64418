#include "base/sha256.h"

#include <openssl/evp.h>

#include <array>
#include <cstdlib>

namespace roomloom {

std::string sha256(std::string_view bytes) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  std::size_t size = 0;
  if (EVP_Q_digest(nullptr, "SHA256", nullptr, bytes.data(), bytes.size(), digest.data(), &size) !=
      1)
    std::abort();  // only for want of memory, or of OpenSSL's own algorithms
  std::string hex;
  for (std::size_t i = 0; i < size; ++i)
    for (const int shift : {4, 0}) hex.push_back("0123456789abcdef"[digest[i] >> shift & 15]);
  return hex;
}

}  // namespace roomloom
