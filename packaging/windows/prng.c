// For windows-test.sh only, never shipped: every Windows since 10 has a
// bcryptprimitives.dll, from which Go takes its random numbers; Debian 12's wine
// has none. This one passes the request on to the older call that wine has.
#include <windows.h>

BOOLEAN NTAPI SystemFunction036(PVOID, ULONG); // RtlGenRandom, of advapi32

__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE data, SIZE_T length) {
    while (length > 0) {
        ULONG part = length > 65536 ? 65536 : (ULONG)length;
        if (!SystemFunction036(data, part)) return FALSE;
        data += part;
        length -= part;
    }
    return TRUE;
}
