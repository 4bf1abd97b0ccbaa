// The program that libFuzzer drives: its first argument names the target, the others are libFuzzer's own.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "fuzz/target.hpp"

namespace {

const eaveshed::fuzz::Target* chosen = nullptr;

}  // namespace

extern "C" int LLVMFuzzerInitialize(int* count, char*** words);
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

extern "C" int LLVMFuzzerInitialize(int* count, char*** words) {
    const std::string wanted = *count > 1 ? (*words)[1] : "";
    for (const eaveshed::fuzz::Target& target : eaveshed::fuzz::targets()) {
        if (target.name == wanted) {
            chosen = &target;
        }
    }
    if (chosen == nullptr) {
        std::fputs("fuzz: the first argument names a target:", stderr);
        for (const eaveshed::fuzz::Target& target : eaveshed::fuzz::targets()) {
            std::fprintf(stderr, " %s", std::string(target.name).c_str());
        }
        std::fputs("\n", stderr);
        std::exit(2);
    }
    std::rotate(*words + 1, *words + 2, *words + *count);
    --*count;
    return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    chosen->run({data, size});
    return 0;
}
