// SPDX-License-Identifier: MIT
namespace Fumecast.Inputs;

/// <summary>What the system said when a file could not be used, in a few plain words.</summary>
internal static class SystemTrouble
{
    /// <summary>The reason, without file name and full stop.</summary>
    /// <param name="trouble">What was thrown.</param>
    public static string Reason(Exception trouble)
    {
        ArgumentNullException.ThrowIfNull(trouble);
        return trouble switch
        {
            UnauthorizedAccessException => "permission denied",
            PathTooLongException => "the name is too long",
            DirectoryNotFoundException => "the folder does not exist",
            FileNotFoundException => "there is no such file",
            ArgumentException => "this is no usable file name",
            // The system names the file too, which may be a temporary one.
            _ => trouble.Message.Split('\n')[0].Split(" : '")[0].Trim().TrimEnd('.'),
        };
    }
}
