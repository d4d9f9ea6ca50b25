// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.GCode;

/// <summary>A pipe that can be read a second time: what passes is kept in a temporary file.</summary>
/// <remarks>Needed where the comments at the end of a job name what the first reading did without. The file goes with this object.</remarks>
/// <param name="source">The input.</param>
/// <param name="name">The input as the user named it.</param>
/// <param name="leaveOpen">Whether somebody else disposes the input.</param>
internal sealed class SpooledInput(Stream source, string name, bool leaveOpen) : ForwardStream
{
    /// <summary>More than any job: an endless input must not fill the disk [bytes].</summary>
    private const long MostBytes = 4L << 30;

    private ScratchFile? _kept;
    private bool _isReplaying;
    private bool _gaveUp;

    /// <summary>Whether all that was read so far can be read again.</summary>
    public bool CanRewind => !_gaveUp;

    /// <summary>Why it cannot be read again, or null.</summary>
    public string? WhyNotAgain { get; private set; }

    /// <summary>Starts over with the first byte; does nothing before anything was read.</summary>
    public void Rewind()
    {
        if (_kept is not null)
        {
            _kept.Position = 0;
            _isReplaying = true;
        }
    }

    public override int Read(Span<byte> buffer)
    {
        if (_isReplaying)
        {
            var replayed = _kept!.Read(buffer);
            if (replayed > 0 || buffer.IsEmpty)
            {
                return replayed;
            }

            _isReplaying = false;
        }

        var count = source.Read(buffer);
        Keep(buffer[..count]);
        return count;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _kept?.Dispose();
            if (!leaveOpen)
            {
                source.Dispose();
            }
        }

        base.Dispose(disposing);
    }

    private void Keep(ReadOnlySpan<byte> bytes)
    {
        if (_gaveUp || bytes.IsEmpty)
        {
            return;
        }

        try
        {
            _kept ??= ScratchFile.Create(name == JobName.StandardInput ? "standard input" : name);
            _kept.Write(bytes);
            if (_kept.Length > MostBytes)
            {
                (_gaveUp, WhyNotAgain) = (true, "it is over 4 GiB long, which is not kept");
            }
        }
        catch (InputProblem trouble)
        {
            // Without room for it one reading has to do.
            (_gaveUp, WhyNotAgain) = (true, trouble.Message);
        }

        if (_gaveUp)
        {
            _kept?.Dispose();
            _kept = null;
        }
    }
}
