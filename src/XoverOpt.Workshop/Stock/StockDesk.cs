using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Stock;

/// <summary>
/// Changes the stock book of a drawer. One change at a time, held apart by an open lock file between processes and hosts that share the
/// folder by a file system with locks; each reads the book afresh, and the new one takes the old one's place at once, so that who reads
/// meanwhile sees the one or the other.
/// </summary>
/// <param name="folder">The drawer's folder.</param>
/// <param name="clock">Tells the time of changes.</param>
public sealed class StockDesk(string folder, TimeProvider clock)
{
    /// <summary>The lock file.</summary>
    public const string LockName = "stock-book.lock";

    private const int MostName = 100;

    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(20);

    /// <summary>Reads a sheet of counts and prices in: all of it, or, where it has any fault, nothing.</summary>
    /// <param name="csv">The sheet.</param>
    /// <param name="name">The name faults bear.</param>
    /// <param name="dialect">How it writes numbers; null to tell by what parts its cells.</param>
    /// <param name="who">Who asks for it.</param>
    /// <param name="dryRun">Whether to say what would change and change nothing.</param>
    /// <exception cref="IOException">The folder cannot be written, or somebody else keeps the book.</exception>
    public Reading<StockImport> Import(byte[] csv, string name, SheetDialect? dialect, string who, bool dryRun) => Change<StockImport>(who, "import", !dryRun, now =>
    {
        Reading<StockImport> plan = StockImport.Plan(csv, name, dialect, now.Drawer, now.Book, now.History);
        return plan.IsGood ? new(plan.Value.Book, plan.Value.Changes, null, plan, []) : new(now.Book, [], null, plan, plan.Faults);
    });

    /// <summary>Sets parts aside for a build. What is set aside for anything else, or for this build before, is not to be had.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="label">The build in words.</param>
    /// <param name="order">For how many sets.</param>
    /// <param name="who">Who asks for it.</param>
    /// <param name="whatIsThere">Whether to set aside what there is of a part that is short, rather than nothing of any.</param>
    /// <exception cref="IOException">The folder cannot be written, or somebody else keeps the book.</exception>
    public Reading<Reservation> Reserve(Earpiece earpiece, string label, PartsOrder order, string who, bool whatIsThere) => Change<Reservation>(who, "reserve", true, now =>
    {
        IReadOnlyDictionary<string, decimal> before = Reservation.Sum(now.Book.Reservations);
        var list = PartsList.Of(earpiece, now.Drawer, before, order);
        Fault[] shortages = [.. list.Lines.Where(line => line.Shortage > 0).Select(line => new Fault(
            "stock",
            line.Part,
            string.Create(CultureInfo.InvariantCulture, $"{line.Available:0.###} {line.Unit} to be had, {line.Need:0.###} needed"),
            "parts enough for all sets",
            "Order what is missing, ask for fewer sets, or set aside what is there."))];
        ReservedPart[] lines = [.. list.Lines.Select(line => new ReservedPart(line.Part, Math.Min(line.Need, line.Available))).Where(line => line.Quantity > 0)];
        if ((shortages.Length > 0 && !whatIsThere) || lines.Length == 0)
        {
            return new(now.Book, [], null, new(null, shortages), shortages);
        }

        Reservation made = new($"r{now.Next}", Reservation.MarkOf(earpiece), label, order.Sets, who, now.When, lines);
        StockChange[] changes = [.. lines.Select(line => Reserved(line.Part, before.GetValueOrDefault(line.Part), before.GetValueOrDefault(line.Part) + line.Quantity))];
        return new(now.Book with { Reservations = [.. now.Book.Reservations, made] }, changes, $"{made.Id}: {made.Sets} sets of {made.Label}", new(made, []), []);
    });

    /// <summary>Ends a reservation.</summary>
    /// <param name="id">Its name.</param>
    /// <param name="who">Who asks for it.</param>
    /// <param name="built">Whether its parts were built in: then they go off the shelf.</param>
    /// <returns>The reservation as it was; without a fault and a value where there is none such.</returns>
    /// <exception cref="IOException">The folder cannot be written, or somebody else keeps the book.</exception>
    public Reading<Reservation> Release(string id, string who, bool built) => Change<Reservation>(who, built ? "built" : "release", true, now =>
    {
        if (now.Book.Reservations.FirstOrDefault(reservation => reservation.Id == id) is not { } ended)
        {
            return new(now.Book, [], null, new(null, []), []);
        }

        IReadOnlyDictionary<string, decimal> before = Reservation.Sum(now.Book.Reservations);
        StockBook after = now.Book with { Reservations = [.. now.Book.Reservations.Where(reservation => reservation != ended)] };
        List<StockChange> changes = [.. ended.Lines.Select(line => Reserved(line.Part, before[line.Part], before[line.Part] - line.Quantity))];
        if (built)
        {
            ILookup<string, StockPart> parts = StockPart.Of(now.Drawer).ToLookup(part => part.Part);
            Fault[] gone = [.. ended.Lines.Where(line => !(parts[line.Part].FirstOrDefault()?.Supply?.Stock >= line.Quantity)).Select(line => new Fault(
                "stock", line.Part, string.Create(CultureInfo.InvariantCulture, $"{parts[line.Part].FirstOrDefault()?.Supply?.Stock ?? 0:0.###} on the shelf"), string.Create(CultureInfo.InvariantCulture, $"the {line.Quantity:0.###} that were built in, or more"), "Count again and import the count first."))];
            if (gone.Length > 0)
            {
                return new(now.Book, [], null, new(null, gone), gone);
            }

            foreach (ReservedPart line in ended.Lines)
            {
                decimal was = parts[line.Part].First().Supply!.Stock!.Value, left = was - line.Quantity;
                after = after with { Parts = [.. after.Parts.Where(entry => entry.Part != line.Part), (after.Entry(line.Part) ?? new(line.Part)) with { Stock = left }] };
                changes.Add(new(line.Part, StockField.All[0].Heading, Text(was), Text(left)));
            }
        }

        return new(after, changes, $"{ended.Id}: {ended.Sets} sets of {ended.Label}", new(ended, []), []);
    });

    /// <summary>The changes of the book, oldest first.</summary>
    public Reading<IReadOnlyList<StockEvent>> History()
    {
        Reading<StockBook> book = StockBookFile.In(folder);
        return book.IsGood ? new(StockHistory.Of(folder, book.Value.Revision), []) : new(null, book.Faults);
    }

    /// <summary>What is wrong with a name of who asks; null where nothing is.</summary>
    public static Fault? NameFault(string who) => who.Trim().Length is 0 or > MostName || who.Any(char.IsControl)
        ? new("stock", "by", who.Trim().Length == 0 ? "no name" : "a name that is too long or has control characters", $"who asks for the change, 1 to {MostName} letters")
        : null;

    private Reading<T> Change<T>(string who, string what, bool write, Func<State, Outcome<T>> make)
        where T : class
    {
        if (NameFault(who) is { } fault)
        {
            return new(null, [fault]);
        }

        using FileStream? held = write ? TakeLock() : null;
        Reading<Inventory> drawer = InventoryFile.Read(folder);
        Reading<StockBook> read = StockBookFile.In(folder);
        if (!drawer.IsGood || !read.IsGood)
        {
            return new(null, drawer.IsGood ? read.Faults : drawer.Faults);
        }

        StockBook book = read.Value;
        long next = Math.Max(book.Revision, StockHistory.Last(folder)) + 1;
        DateTimeOffset now = clock.GetUtcNow();
        now = now.AddTicks(-(now.Ticks % TimeSpan.TicksPerSecond));
        Outcome<T> outcome = make(new(drawer.Value, book, StockHistory.Of(folder, book.Revision), next, now));
        if (write && outcome.Faults.Count == 0 && outcome.Changes.Count > 0)
        {
            // Should the process die after this line is written, it names a revision that the book never reaches.
            StockHistory.Append(folder, new(next, book.Revision, now, who.Trim(), what, outcome.Note, outcome.Changes));
            Replace(outcome.Book with { Revision = next });
        }

        return outcome.Result;
    }

    private void Replace(StockBook book)
    {
        string path = Path.Combine(folder, StockBook.FileName), fresh = path + ".new";
        using (FileStream file = new(fresh, FileMode.Create, FileAccess.Write, FileShare.None))
        {
            file.Write(StockBookFile.Write(book));
            file.Flush(flushToDisk: true);
        }

        File.Move(fresh, path, overwrite: true);
    }

    private FileStream TakeLock()
    {
        string path = Path.Combine(folder, LockName);
        long began = clock.GetTimestamp();
        while (true)
        {
            try
            {
                return new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
            }
            catch (IOException held) when (DataDirectory.IsSharingViolation(held))
            {
                if (clock.GetElapsedTime(began) > _patience)
                {
                    throw new IOException("The stock book is being changed by somebody else for a long time; try again.", held);
                }

                Thread.Sleep(20);
            }
        }
    }

    private static StockChange Reserved(string part, decimal from, decimal to) => new(part, "reserved", Text(from), Text(to));

    private static string Text(decimal value) => value.ToString("0.############", CultureInfo.InvariantCulture);

    private sealed record State(Inventory Drawer, StockBook Book, IReadOnlyList<StockEvent> History, long Next, DateTimeOffset When);

    private sealed record Outcome<T>(StockBook Book, IReadOnlyList<StockChange> Changes, string? Note, Reading<T> Result, IReadOnlyList<Fault> Faults)
        where T : class;
}
