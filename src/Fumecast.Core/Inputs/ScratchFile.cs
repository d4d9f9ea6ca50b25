// SPDX-License-Identifier: MIT
namespace Fumecast.Inputs;

/// <summary>A file in the temporary folder for what is too much for memory. Nobody else sees it, and nothing of it stays, however the program ends.</summary>
/// <remarks>Where the system allows it, the file loses its name at once, so that not even a kill leaves it behind.</remarks>
internal sealed class ScratchFile : FileStream
{
    private readonly string _what;

    private ScratchFile(string path, string what)
        : base(path, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.Delete, bufferSize: 0, OperatingSystem.IsWindows() ? FileOptions.DeleteOnClose : FileOptions.None)
    {
        _what = what;
    }

    /// <summary>Makes one.</summary>
    /// <param name="what">What is to be kept in it, for messages: <c>standard input</c>.</param>
    /// <exception cref="InputProblem">There is no room, or no temporary folder: the message names the folder.</exception>
    public static ScratchFile Create(string what)
    {
        try
        {
            var path = Path.Combine(Path.GetTempPath(), "fumecast-" + Path.GetRandomFileName());
            var file = new ScratchFile(path, what);
            if (!OperatingSystem.IsWindows())
            {
                File.Delete(path);
            }

            return file;
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw Problem(what, trouble);
        }
    }

    // Without a buffer every byte passes here, and trouble shows at once. A type derived from FileStream writes spans through this one.
    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count)
    {
        try
        {
            base.Write(buffer, offset, count);
        }
        catch (IOException trouble)
        {
            throw Problem(_what, trouble);
        }
    }

    private static InputProblem Problem(string what, Exception trouble) =>
        new($"{Path.GetTempPath()}: the temporary folder cannot keep {what}: {SystemTrouble.Reason(trouble)}; make room there, or name another folder in TMPDIR");
}
