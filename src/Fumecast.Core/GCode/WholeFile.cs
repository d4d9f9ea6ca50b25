// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>A file read from front to back, which must not end before the length it had when it was opened.</summary>
internal sealed class WholeFile(FileStream file, string name) : ForwardStream
{
    private readonly long _length = file.Length;
    private long _read;

    public override int Read(Span<byte> buffer)
    {
        var count = file.Read(buffer);
        _read += count;
        return count == 0 && !buffer.IsEmpty && _read < _length ? throw InputFindings.Shortened(name) : count;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            file.Dispose();
        }

        base.Dispose(disposing);
    }
}
