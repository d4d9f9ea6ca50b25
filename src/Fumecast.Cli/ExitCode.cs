// SPDX-License-Identifier: MIT
namespace Fumecast.Cli;

/// <summary>What the process tells its caller.</summary>
internal static class ExitCode
{
    public const int Done = 0;

    /// <summary>An input or data file is wrong.</summary>
    public const int Input = 1;

    /// <summary>The command line is wrong.</summary>
    public const int Usage = 2;

    /// <summary>A mistake of our own.</summary>
    public const int Bug = 3;

    /// <summary>Ended by the user.</summary>
    public const int Interrupted = 130;
}
