// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Inputs;

/// <summary>A data file that was read: its name for messages, and its text.</summary>
/// <param name="Name">The path as the user gave it, or <c>materials/abs.yaml</c> for shipped data.</param>
/// <param name="Text">The whole text.</param>
/// <param name="IsShipped">Whether it came with the program.</param>
internal sealed record DataFile(string Name, string Text, bool IsShipped = false)
{
    /// <summary>Largest data file that is read; the shipped ones are a thousandth of it [byte].</summary>
    public const int MaxBytes = 1024 * 1024;

    /// <summary>Stands in a remark behind a value that the user must replace by one of their own.</summary>
    public const string Mark = "FILL IN";

    /// <summary>The lines, counted from 1, in which a place is still marked: such a file is sound, but nobody's.</summary>
    public IReadOnlyList<int> UnfilledLines =>
        [.. Text.Split('\n').Select(static (line, i) => (line, Number: i + 1)).Where(static at => at.line.TrimEnd().EndsWith($"# {Mark}", StringComparison.Ordinal)).Select(static at => at.Number)];

    /// <summary>What to do about places that are still marked; empty where none is.</summary>
    public string UnfilledWords => UnfilledLines switch
    {
        [] => "",
        var lines => string.Create(
            CultureInfo.InvariantCulture, $"{(lines.Count == 1 ? "one place is" : $"{lines.Count} places are")} still marked {Mark} (line {string.Join(", ", lines)}): give your own and remove the mark"),
    };

    /// <summary>Reads a file from disk.</summary>
    /// <param name="path">Where it is.</param>
    /// <exception cref="InputProblem">It is not there, cannot be read, or is over <see cref="MaxBytes"/>.</exception>
    public static DataFile Load(string path)
    {
        try
        {
            using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return new DataFile(path, ReadText(stream, path));
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new InputProblem(path.Contains('\uFFFD', StringComparison.Ordinal)
                ? $"{path}: cannot be opened, since its name is not UTF-8 (shown with \uFFFD for what is not); rename it"
                : $"{path}: found no such file; check the path");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException or ArgumentException)
        {
            throw new InputProblem($"{path}: cannot be read ({(Directory.Exists(path) ? "it is a folder" : SystemTrouble.Reason(e))}); name a data file that may be read");
        }
    }

    /// <summary>Reads at most <see cref="MaxBytes"/>, also from pipes that have no length.</summary>
    internal static string ReadText(Stream stream, string name)
    {
        var bytes = new byte[stream.CanSeek ? (int)Math.Min(stream.Length, MaxBytes) + 1 : MaxBytes + 1];
        var length = stream.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false);
        if (length > MaxBytes)
        {
            throw new InputProblem(string.Create(CultureInfo.InvariantCulture, $"{name}: over {MaxBytes} bytes, which no data file needs; is it the right file?"));
        }

        if (length == 0 || bytes[0] is not (0 or 0xEF or 0xFE or 0xFF))
        {
            return Encoding.UTF8.GetString(bytes, 0, length);
        }

        // Perhaps the mark of another encoding.
        using var reader = new StreamReader(new MemoryStream(bytes, 0, length));
        return reader.ReadToEnd();
    }
}
