#include "reader/confine.h"

#include <fcntl.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/landlock.h>
#include <linux/seccomp.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <cerrno>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace roomloom {
namespace {

void limit(int resource, rlim_t value) {
  const rlimit both{value, value};
  ::setrlimit(static_cast<__rlimit_resource_t>(resource), &both);
}

void limit_resources(const Confinement& limits) {
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_FSIZE, 0);
  limit(RLIMIT_NOFILE, 32);
  // One second between the two, so that SIGXCPU comes first and tells the reason.
  const auto seconds = static_cast<rlim_t>(std::ceil(limits.seconds));
  const rlimit processor{seconds, seconds + 1};
  ::setrlimit(RLIMIT_CPU, &processor);
  limit(RLIMIT_AS, static_cast<rlim_t>(limits.memory_gb * 1e9));
}

/// The network, other programs, other processes, and the ways round a confinement.
const std::vector<std::uint32_t>& forbidden_calls() {
  static const std::vector<std::uint32_t> kCalls = {
      __NR_socket,
      __NR_socketpair,
      __NR_connect,
      __NR_bind,
      __NR_listen,
      __NR_accept,
      __NR_accept4,
      __NR_sendto,
      __NR_sendmsg,
      __NR_execve,
      __NR_execveat,
      __NR_ptrace,
      __NR_kill,
      __NR_tkill,
      __NR_process_vm_readv,
      __NR_process_vm_writev,
      __NR_mount,
      __NR_chroot,
      __NR_unshare,
      __NR_setns,
      __NR_keyctl,
      __NR_bpf,
      __NR_perf_event_open,
      __NR_io_uring_setup,
      __NR_userfaultfd,
      __NR_pidfd_open,
      __NR_unlinkat,
      __NR_mkdirat,
      __NR_renameat2,
      __NR_symlinkat,
      __NR_linkat,
      __NR_fchmodat,
#ifdef __NR_unlink
      __NR_unlink,
      __NR_mkdir,
      __NR_rename,
      __NR_symlink,
      __NR_link,
      __NR_chmod,
      __NR_rmdir,
      __NR_fork,
      __NR_vfork,
#endif
  };
  return kCalls;
}

#if defined(__x86_64__)
constexpr std::uint32_t kArchitecture = AUDIT_ARCH_X86_64;
#elif defined(__aarch64__)
constexpr std::uint32_t kArchitecture = AUDIT_ARCH_AARCH64;
#else
constexpr std::uint32_t kArchitecture = 0;
#endif

/// A filter that lets every call pass but the forbidden ones, which fail with EPERM.
void filter_calls() {
  if (kArchitecture == 0) return;
  constexpr std::uint32_t kDeny = SECCOMP_RET_ERRNO | EPERM;
  std::vector<sock_filter> program = {
    BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, arch)),
    BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, kArchitecture, 1, 0),
    BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_KILL_PROCESS),
    BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr)),
#if defined(__x86_64__)
    // Numbers from 0x40000000 on are the same calls by another name (x32).
    BPF_JUMP(BPF_JMP | BPF_JGE | BPF_K, 0x40000000, 0, 1),
    BPF_STMT(BPF_RET | BPF_K, kDeny),
#endif
  };
  for (const std::uint32_t call : forbidden_calls()) {
    program.push_back(BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, call, 0, 1));
    program.push_back(BPF_STMT(BPF_RET | BPF_K, kDeny));
  }
  program.push_back(BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW));
  const sock_fprog filter{static_cast<unsigned short>(program.size()), program.data()};
  ::prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter);
}

/// Every right that the first version of Landlock knows: none is left but those allowed below.
constexpr std::uint64_t kAllRights =
    LANDLOCK_ACCESS_FS_EXECUTE | LANDLOCK_ACCESS_FS_WRITE_FILE | LANDLOCK_ACCESS_FS_READ_FILE |
    LANDLOCK_ACCESS_FS_READ_DIR | LANDLOCK_ACCESS_FS_REMOVE_DIR | LANDLOCK_ACCESS_FS_REMOVE_FILE |
    LANDLOCK_ACCESS_FS_MAKE_CHAR | LANDLOCK_ACCESS_FS_MAKE_DIR | LANDLOCK_ACCESS_FS_MAKE_REG |
    LANDLOCK_ACCESS_FS_MAKE_SOCK | LANDLOCK_ACCESS_FS_MAKE_FIFO | LANDLOCK_ACCESS_FS_MAKE_BLOCK |
    LANDLOCK_ACCESS_FS_MAKE_SYM;

void keep_to(const std::vector<std::filesystem::path>& readable) {
  const landlock_ruleset_attr rights{kAllRights};
  const int rules =
      static_cast<int>(::syscall(__NR_landlock_create_ruleset, &rights, sizeof rights, 0));
  if (rules < 0) return;  // an older kernel, or one built without
  for (const std::filesystem::path& place : readable) {
    landlock_path_beneath_attr allowed{};
    allowed.allowed_access = LANDLOCK_ACCESS_FS_READ_FILE;
    allowed.parent_fd = ::open(place.c_str(), O_PATH | O_CLOEXEC);
    if (allowed.parent_fd < 0) continue;
    ::syscall(__NR_landlock_add_rule, rules, LANDLOCK_RULE_PATH_BENEATH, &allowed, 0);
    ::close(allowed.parent_fd);
  }
  ::syscall(__NR_landlock_restrict_self, rules, 0);
  ::close(rules);
}

}  // namespace

void confine(const Confinement& limits) {
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);  // nobody reads the answer when the parent is gone
  limit_resources(limits);
  if (::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) return;
  keep_to(limits.readable);
  filter_calls();
}

}  // namespace roomloom
