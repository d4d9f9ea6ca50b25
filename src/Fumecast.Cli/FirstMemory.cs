// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Cli;

/// <summary>The memory that a small job takes, asked of the system in one go.</summary>
/// <remarks>
/// The runtime touches new memory page by page, and each first touch is a trap into the system: half a microsecond on a machine of one's own, ten to twenty
/// on a virtual one, where that was a fifth of a small job. Asked for at once, a page costs one. As long as it lasts, nothing is collected either; then all is as usual.
/// </remarks>
internal static partial class FirstMemory
{
    private const int ObjectBytes = 3 << 20;
    private const int LargeArrayBytes = 1 << 20;

    /// <summary>An array of this size lies among the large ones [bytes].</summary>
    private const int SmallestLargeArray = 85_000;

    private const int PageBytes = 4096;

    /// <summary>MADV_POPULATE_WRITE, which Linux knows since 5.14; older ones refuse it and all is as without it.</summary>
    private const int FillForWriting = 23;

    /// <summary>Takes it.</summary>
    public static void Take()
    {
        try
        {
            if (!OperatingSystem.IsLinux() || !GC.TryStartNoGCRegion(ObjectBytes + LargeArrayBytes, LargeArrayBytes))
            {
                return;
            }
        }
        catch (ArgumentOutOfRangeException)
        {
            // Less memory than that was allotted to the program.
            return;
        }

        // Of large arrays a small job has two, for reading.
        FillBehind(new byte[1], ObjectBytes);
        FillBehind(GC.AllocateUninitializedArray<byte>(SmallestLargeArray), LargeArrayBytes / 2);
    }

    /// <summary>New objects follow one another. What lies behind the end of what the runtime holds is not filled.</summary>
    private static unsafe void FillBehind(byte[] newest, int length)
    {
        fixed (byte* end = &newest[^1])
        {
            _ = Advise(((nuint)end | (PageBytes - 1)) + 1, (nuint)length, FillForWriting);
        }
    }

    [LibraryImport("libc", EntryPoint = "madvise")]
    private static partial int Advise(nuint start, nuint length, int advice);
}
