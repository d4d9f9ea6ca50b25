// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>A job opened for reading: a plain file, a gzipped one, an entry of a ZIP or 3MF container, or standard input.</summary>
/// <remarks>What it is decides its content, not its name. Nothing is loaded whole; only a container from standard input goes through a temporary file.</remarks>
internal sealed class JobFile : IDisposable
{
    private readonly Stream _source;
    private readonly IDisposable? _container;
    private readonly Func<double> _shareRead;

    internal JobFile(string name, Stream source, Stream content, Func<double> shareRead, IDisposable? container = null, ContainerSummary? summary = null)
    {
        Name = name;
        Content = content;
        Summary = summary;
        _source = source;
        _shareRead = shareRead;
        _container = container;
    }

    /// <summary>The job as the user named it.</summary>
    public string Name { get; }

    /// <summary>The G-code, decompressed while it is read; forward only.</summary>
    public Stream Content { get; }

    /// <summary>The share of the input that has been read, 0 to 1 [-]; 0 where the length is unknown.</summary>
    public double ShareRead => Math.Clamp(_shareRead(), 0, 1);

    /// <summary>Whether the same name can be opened once more: not so for pipes, nor for standard input unless it was kept.</summary>
    public bool CanBeReadAgain => _source is FileStream { CanSeek: true } or Borrowed { Source: SpooledInput { CanRewind: true } or { CanSeek: true } };

    /// <summary>Why a pipe cannot be opened once more, or null.</summary>
    internal string? WhyNotAgain => (_source as Borrowed)?.Source is SpooledInput spooled ? spooled.WhyNotAgain : null;

    /// <summary>What a container says about its filaments outside the G-code, or null.</summary>
    internal ContainerSummary? Summary { get; }

    /// <summary>Opens a job.</summary>
    /// <param name="nameAsUserGaveIt">A file; <c>FILE#entry</c> for one entry of a container; <c>-</c> for standard input.</param>
    /// <param name="stdin">What <c>-</c> stands for; not disposed.</param>
    /// <param name="inflatesAhead">Whether a compressed file may be inflated on a thread of its own; its content is the same.</param>
    /// <returns>The open job; dispose it.</returns>
    /// <exception cref="InputProblem">There is no such file or entry, or it is no G-code; the message says which.</exception>
    public static JobFile Open(string nameAsUserGaveIt, Stream? stdin = null, bool inflatesAhead = false)
    {
        ArgumentNullException.ThrowIfNull(nameAsUserGaveIt);
        var (path, entry) = JobName.Split(nameAsUserGaveIt);
        return path != JobName.StandardInput
            ? JobOpener.Open(nameAsUserGaveIt, JobName.OpenFile(path), entry, inflatesAhead && Environment.ProcessorCount > 1)
            : OpenKept(nameAsUserGaveIt, JobName.Required(stdin), entry);
    }

    /// <summary>Opens a job that may come through a pipe.</summary>
    /// <param name="nameAsUserGaveIt">As in <see cref="Open(string, Stream?, bool)"/>.</param>
    /// <param name="kept">What <see cref="Keep"/> gave for it.</param>
    /// <param name="stdin">What <c>-</c> stands for; not disposed.</param>
    /// <param name="inflatesAhead">Whether a compressed file may be inflated on a thread of its own.</param>
    internal static JobFile Open(string nameAsUserGaveIt, SpooledInput? kept, Stream? stdin, bool inflatesAhead) => kept is null
        ? Open(nameAsUserGaveIt, stdin, inflatesAhead)
        : OpenKept(nameAsUserGaveIt, kept, JobName.Split(nameAsUserGaveIt).Entry);

    /// <summary>Makes a job that comes through a pipe readable more than once.</summary>
    /// <param name="nameAsUserGaveIt">The job.</param>
    /// <param name="stdin">What <c>-</c> stands for; not disposed.</param>
    /// <returns>What to open it with; null for a file, which needs nothing of the kind. Dispose it.</returns>
    /// <exception cref="InputProblem">There is no standard input, or the pipe cannot be opened.</exception>
    internal static SpooledInput? Keep(string nameAsUserGaveIt, Stream? stdin)
    {
        var path = JobName.Split(nameAsUserGaveIt).Path;
        if (path == JobName.StandardInput)
        {
            return JobName.Required(stdin) is { CanSeek: false } pipe ? new SpooledInput(pipe, path, leaveOpen: true) : null;
        }

        return FileNode.Of(path) is { Kind: FileKind.Pipe } ? new SpooledInput(JobName.OpenFile(path), path, leaveOpen: false) : null;
    }

    private static JobFile OpenKept(string name, Stream stream, string? entry)
    {
        if (stream is SpooledInput spooled)
        {
            spooled.Rewind();
        }
        else if (stream.CanSeek)
        {
            stream.Position = 0;
        }

        return JobOpener.Open(name, new Borrowed(stream), entry);
    }

    /// <summary>The file behind a job: that of the container for <c>FILE#entry</c>.</summary>
    /// <param name="nameAsUserGaveIt">The job.</param>
    /// <returns>Its path; null for standard input.</returns>
    public static string? PathOf(string nameAsUserGaveIt)
    {
        ArgumentNullException.ThrowIfNull(nameAsUserGaveIt);
        return JobName.Split(nameAsUserGaveIt).Path is not JobName.StandardInput and var path ? path : null;
    }

    /// <summary>Reads the claims at the start and the end of a plain file, without reading what lies between.</summary>
    /// <param name="nameAsUserGaveIt">The job.</param>
    /// <returns>The claims; null for standard input, pipes, compressed jobs and containers, whose end cannot be had without a whole pass.</returns>
    /// <exception cref="InputProblem">There is no such file or entry, or it is no G-code.</exception>
    public static CommentClaims? PeekClaims(string nameAsUserGaveIt)
    {
        ArgumentNullException.ThrowIfNull(nameAsUserGaveIt);
        var (path, entry) = JobName.Split(nameAsUserGaveIt);
        if (path == JobName.StandardInput || entry is not null)
        {
            return null;
        }

        // A pipe must not be opened and closed: its writer would lose it.
        if (FileNode.Of(path) is { Kind: FileKind.Pipe } || (File.Exists(path) && new FileInfo(path).Length == 0))
        {
            return null;
        }

        using var file = JobName.OpenFile(path);
        return file.CanSeek ? ClaimPeek.Read(file, nameAsUserGaveIt) : null;
    }

    /// <summary>Reads the claims of a container's summary and at the start of the job, which stays to be read; call it before reading.</summary>
    /// <returns>The claims so far; the end of the job may hold more.</returns>
    /// <exception cref="InputProblem">The input breaks off.</exception>
    public CommentClaims HeadClaims()
    {
        var claims = Content is HeadedStream headed ? ClaimPeek.ReadHead(headed, Name) : new CommentClaims();
        if (Summary is { } summary)
        {
            claims.ReadSummary(summary);
        }

        return claims;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Content.Dispose();
        _container?.Dispose();
        _source.Dispose();
    }
}
