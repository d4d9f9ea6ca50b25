// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Standard input that can be read a second time: what passes is kept in a temporary file.</summary>
/// <remarks>Needed where the comments at the end of a job name what the first reading did without. The file goes with this object.</remarks>
/// <param name="source">The input; not disposed.</param>
internal sealed class SpooledInput(Stream source) : ForwardStream
{
    /// <summary>More than any job: an endless input must not fill the disk [bytes].</summary>
    private const long MostBytes = 4L << 30;

    private FileStream? _kept;
    private bool _isReplaying;
    private bool _gaveUp;

    /// <summary>Whether all that was read so far can be read again.</summary>
    public bool CanRewind => !_gaveUp;

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
            _kept ??= new FileStream(
                Path.Combine(Path.GetTempPath(), Path.GetRandomFileName()), FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, 65536, FileOptions.DeleteOnClose);
            _kept.Write(bytes);
            _gaveUp = _kept.Length > MostBytes;
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            // Without room for it one reading has to do.
            _gaveUp = true;
        }

        if (_gaveUp)
        {
            _kept?.Dispose();
            _kept = null;
        }
    }
}
