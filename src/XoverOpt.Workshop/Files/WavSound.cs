using System.Buffers.Binary;

namespace XoverOpt.Workshop;

/// <summary>The samples of a WAV file, full scale being 1.</summary>
/// <param name="SampleRate">Samples a second.</param>
/// <param name="Channels">Samples of each channel.</param>
internal sealed record WavSound(int SampleRate, double[][] Channels)
{
    private const int MostSamples = 1 << 20;
    private const ushort Pcm = 1, Float = 3, Extensible = 0xFFFE;

    /// <summary>
    /// Reads RIFF/WAVE: PCM of 16, 24 or 32 bits, or floats of 32 or 64 (IBM and Microsoft, Multimedia Programming Interface and Data
    /// Specifications 1.0, 1991; extensible format by its sub-format's first two bytes).
    /// </summary>
    /// <returns>The sound; null after a fault.</returns>
    public static WavSound? Read(ReadOnlySpan<byte> bytes, MeasuredPlace at)
    {
        if (bytes.Length < 12 || !bytes[..4].SequenceEqual("RIFF"u8) || !bytes[8..12].SequenceEqual("WAVE"u8))
        {
            string found = bytes.StartsWith("RF64"u8) ? "a WAV for more than 4 GB (RF64)" : bytes.StartsWith("RIFX"u8) ? "a big-endian WAV (RIFX)" : "no WAV";
            at.Refuse(found, "a RIFF WAVE file");
            return null;
        }

        (ushort Kind, int Channels, int Rate, int Bits, int Block)? format = null;
        ReadOnlySpan<byte> data = default;
        bool ended = false;
        for (int next = 12; next + 8 <= bytes.Length && !ended;)
        {
            ReadOnlySpan<byte> id = bytes.Slice(next, 4);
            uint size = BinaryPrimitives.ReadUInt32LittleEndian(bytes[(next + 4)..]);
            bool cut = size > (uint)(bytes.Length - next - 8);
            ReadOnlySpan<byte> chunk = bytes.Slice(next + 8, cut ? bytes.Length - next - 8 : (int)size);
            if (id.SequenceEqual("fmt "u8) && chunk.Length >= 16)
            {
                ushort kind = BinaryPrimitives.ReadUInt16LittleEndian(chunk);
                kind = kind == Extensible && chunk.Length >= 26 ? BinaryPrimitives.ReadUInt16LittleEndian(chunk[24..]) : kind;
                format = (kind, BinaryPrimitives.ReadUInt16LittleEndian(chunk[2..]), BinaryPrimitives.ReadInt32LittleEndian(chunk[4..]),
                    BinaryPrimitives.ReadUInt16LittleEndian(chunk[14..]), BinaryPrimitives.ReadUInt16LittleEndian(chunk[12..]));
            }
            else if (id.SequenceEqual("data"u8))
            {
                if (cut)
                {
                    at.Refuse(FormattableString.Invariant($"{chunk.Length} bytes of samples where {size} are announced"), "the whole file", "The file is cut off: copy it again.");
                    return null;
                }

                data = chunk;
            }

            ended = cut;
            next += 8 + chunk.Length + (chunk.Length & 1);
        }

        if (format is not { } f || data.IsEmpty)
        {
            at.Refuse(format is null ? "a WAV without a format chunk" : "a WAV without samples", "a RIFF WAVE file with \"fmt \" and \"data\"");
            return null;
        }

        bool known = (f.Kind == Pcm && f.Bits is 16 or 24 or 32 && f.Kind == Pcm) || (f.Kind == Float && f.Bits is 32 or 64 && f.Kind == Float);
        if (!known || f.Channels is < 1 or > 64 || f.Rate is < 1000 or > 1_000_000 || f.Block != f.Channels * f.Bits / 8)
        {
            at.Refuse(
                FormattableString.Invariant($"format {f.Kind}, {f.Channels} channel(s) of {f.Bits} bits at {f.Rate} Hz"),
                "PCM (format 1) of 16, 24 or 32 bits or float (format 3) of 32 or 64, 1 to 64 channels at 1 kHz to 1 MHz",
                "Save it as PCM of 24 bits.");
            return null;
        }

        int count = data.Length / f.Block;
        if (count is < 16 or > MostSamples)
        {
            at.Refuse(FormattableString.Invariant($"{count} samples"), $"16 to {MostSamples} samples", "An impulse response of an earpiece has died out within a tenth of a second.");
            return null;
        }

        var channels = new double[f.Channels][];
        for (int c = 0; c < f.Channels; c++)
        {
            channels[c] = new double[count];
            for (int n = 0; n < count; n++)
            {
                channels[c][n] = Sample(data[((n * f.Block) + (c * f.Bits / 8))..], f.Kind, f.Bits);
            }
        }

        return new(f.Rate, channels);
    }

    private static double Sample(ReadOnlySpan<byte> at, ushort kind, int bits) => (kind, bits) switch
    {
        (Pcm, 16) => BinaryPrimitives.ReadInt16LittleEndian(at) / 32768.0,
        (Pcm, 24) => ((at[0] << 8) | (at[1] << 16) | (at[2] << 24)) / 2147483648.0,
        (Pcm, _) => BinaryPrimitives.ReadInt32LittleEndian(at) / 2147483648.0,
        (_, 32) => BinaryPrimitives.ReadSingleLittleEndian(at),
        _ => BinaryPrimitives.ReadDoubleLittleEndian(at),
    };
}
