// A SHA-256 in pieces (FIPS 180-4). Private to the module.
#pragma once

#include <array>
#include <memory>
#include <span>
#include <string>

#include <fmt/format.h>
#include <openssl/evp.h>

#include "eaveshed/core/error.hpp"

namespace eaveshed {

class Sha256 {
public:
    Sha256() : m_context(EVP_MD_CTX_new()) {
        if (!m_context || EVP_DigestInit_ex(m_context.get(), EVP_sha256(), nullptr) != 1) {
            internal_error("the SHA-256 of the cryptographic library could not be set up");
        }
    }

    void add(std::span<const unsigned char> bytes) {
        if (EVP_DigestUpdate(m_context.get(), bytes.data(), bytes.size()) != 1) {
            internal_error("the SHA-256 of the cryptographic library failed");
        }
    }

    std::string hex() {
        std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
        unsigned length = 0;
        if (EVP_DigestFinal_ex(m_context.get(), digest.data(), &length) != 1) {
            internal_error("the SHA-256 of the cryptographic library failed");
        }
        std::string text;
        for (unsigned i = 0; i < length; ++i) {
            text += fmt::format("{:02x}", digest[i]);
        }
        return text;
    }

private:
    struct Free {
        void operator()(EVP_MD_CTX* context) const noexcept { EVP_MD_CTX_free(context); }
    };
    std::unique_ptr<EVP_MD_CTX, Free> m_context;
};

}  // namespace eaveshed
