// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Cli;

/// <summary>How wide the terminal is, asked of the system itself: the runtime's console would first switch the terminal to another mode.</summary>
internal static partial class TerminalWidth
{
    private const int StandardOutput = 1;

    /// <summary>TIOCGWINSZ of Linux on x86 and ARM.</summary>
    private const nuint AskWindowSize = 0x5413;

    /// <summary>The columns of the terminal on stdout [-]; null where they are not known.</summary>
    public static int? OfOutput()
    {
        try
        {
            if (OperatingSystem.IsLinux())
            {
                return AskSystem(StandardOutput, AskWindowSize, out var window) == 0 && window.Columns > 0 ? window.Columns : null;
            }

            return Console.WindowWidth is > 0 and var width ? width : null;
        }
        catch (Exception trouble) when (trouble is IOException or EntryPointNotFoundException or DllNotFoundException)
        {
            return null;
        }
    }

    [LibraryImport("libc", EntryPoint = "ioctl")]
    private static partial int AskSystem(int descriptor, nuint request, out Window window);

    /// <summary>What the system tells of a terminal's window.</summary>
    [StructLayout(LayoutKind.Sequential)]
    private struct Window
    {
        public ushort Rows;
        public ushort Columns;
        public ushort WidthPixels;
        public ushort HeightPixels;
    }
}
