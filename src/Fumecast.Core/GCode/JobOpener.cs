// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>Looks at the first bytes of an input and puts the right reader over it.</summary>
internal static class JobOpener
{
    /// <summary>Opens an input; disposes it when that fails.</summary>
    /// <param name="name">The input as the user knows it.</param>
    /// <param name="source">Its bytes.</param>
    /// <param name="entry">The entry of a container that was asked for, or null.</param>
    /// <param name="inflatesAhead">Whether a compressed file may be inflated on a thread of its own.</param>
    internal static JobFile Open(string name, Stream source, string? entry, bool inflatesAhead = false)
    {
        try
        {
            return OpenKind(name, source, entry, inflatesAhead && source is FileStream { CanSeek: true });
        }
        catch (Exception problem) when (problem is IOException or InvalidDataException or NotSupportedException or UnauthorizedAccessException)
        {
            source.Dispose();
            throw InputFindings.BrokenOff(name, 1, problem);
        }
        catch (InputProblem)
        {
            source.Dispose();
            throw;
        }
    }

    private static JobFile OpenKind(string name, Stream source, string? entry, bool inflatesAhead)
    {
        var file = source as FileStream;
        var measured = source is Borrowed borrowed ? borrowed.Source : source;
        Func<double> shareRead = measured.CanSeek ? () => measured.CanRead ? (double)measured.Position / Math.Max(1, measured.Length) : 1 : static () => 0;
        var headed = new HeadedStream(file is { CanSeek: true } ? new WholeFile(file, name) : source);
        if (headed.Head.StartsWith("PK\x03\x04"u8) || headed.Head.StartsWith("PK\x05\x06"u8))
        {
            return JobContainer.Open(name, source, headed, entry, inflatesAhead);
        }

        if (entry is not null)
        {
            throw new InputProblem($"{name}: the part behind # names an entry of a ZIP or 3MF container, but the file is none; leave it out");
        }

        if (headed.Head is [0x1F, 0x8B, ..])
        {
            var content = new GzipContent(headed);
            headed = new HeadedStream(inflatesAhead ? new ReadAhead(content) : content);
        }

        RefuseOtherKinds(name, headed.Head);
        return new JobFile(name, source, headed, shareRead);
    }

    /// <summary>Refuses what is surely no plain G-code.</summary>
    internal static void RefuseOtherKinds(string name, ReadOnlySpan<byte> head)
    {
        if (head.IsEmpty)
        {
            throw InputFindings.Empty(name);
        }

        // file(1) magic list, entry of 2025-03-10
        if (head.StartsWith("GCDE"u8))
        {
            throw new InputProblem($"{name}: is a binary G-code container, which cannot be read; export the job as plain G-code");
        }

        if (head is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..])
        {
            throw new InputProblem($"{name}: is UTF-16 text; expected plain G-code: save it as UTF-8 or ASCII");
        }

        if (head.StartsWith("solid "u8) && head.IndexOf("facet"u8) >= 0)
        {
            throw new InputProblem($"{name}: is a model, not a job; slice it and name the G-code");
        }

        if (head.IndexOf((byte)0) >= 0)
        {
            throw new InputProblem($"{name}: is a binary file (it holds bytes of value 0); expected G-code as text, gzip, ZIP or 3MF");
        }
    }
}
