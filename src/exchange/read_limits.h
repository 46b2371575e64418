#pragma once

// What roomloom-read and its parent agree upon.
namespace roomloom {

constexpr const char* kReaderName = "roomloom-read";
constexpr int kAnswerDescriptor = 3;  ///< where the program writes its answer (scene_stream.h)
constexpr int kExitOutOfMemory = 12;  ///< its exit status when even the answer found no memory

}  // namespace roomloom
