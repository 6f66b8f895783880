#!/usr/bin/env python3
"""Fits the model of the page on computed pages and writes it as ONNX.

usage: train.py LAYOUTS_PROGRAM OUT_DIR SECONDS [START_CHECKPOINT]

LAYOUTS_PROGRAM is the example `layouts` (see main.rs beside this file): it is run many times over and gives pages
without end, so that none is seen twice. Needs PyTorch, better with a GPU: 9 minutes on one H200 are some
700,000 pages.
A page is a set of segments with features; the network gives each segment its role, the head of the entry it belongs to
(a distribution over all segments), level, column and leaf, and the page its kind. Losses are logarithmic, so that the
answers are probabilities.
"""
import io, math, multiprocessing, os, subprocess, sys, time
import numpy as np
import torch, torch.nn as nn, torch.nn.functional as F

FEATURES, ROLES, LEVELS, COLUMNS, LEAVES, KINDS = 49, 11, 5, 6, 2, 8
ENTRY_ROLES = torch.tensor([1, 1, 1, 1, 0, 0, 0, 0, 1, 1, 0], dtype=torch.bool)
WIDTH, HEADS, LAYERS, PAIR, PAIRS = 128, 8, 6, 32, 24


def signed_log(x):
    return torch.sign(x) * torch.log1p(torch.abs(x))


def pairs(x):
    """Features of each pair of segments, [..., PAIRS, N, N], from the columns that say where they are (see features.rs)."""
    def a(k): return x[..., k].unsqueeze(-1)      # of the one that asks
    def b(k): return x[..., k].unsqueeze(-2)      # of the one asked
    lx, ly, rx, ry, slope, line, value, has = range(8)
    dl, dr = b(lx) - a(lx), b(rx) - a(rx)
    gap, back = b(lx) - a(rx), a(lx) - b(rx)
    dy = (b(ly) + b(ry) - a(ly) - a(ry)) * 0.5
    on = b(ly) - (a(ry) + a(slope) * (b(lx) - a(rx)))      # along the asker's own line
    to = b(ry) + b(slope) * (a(lx) - b(rx)) - a(ly)
    same = (torch.abs(b(line) - a(line)) < 0.5).to(x.dtype)
    both = a(has) * b(has)
    dv = (b(value) - a(value)) * both
    leads, led_x, led_y = 46, 47, 48
    # How far from the end of one's leader the other begins.
    def led(of, to_x, to_y):
        across, along = to_y - of(led_y), to_x - of(led_x)
        near = torch.exp(-4 * across * across) * torch.exp(-0.25 * (along - 0.7) ** 2)
        return [of(leads).expand(across.shape), of(leads) * torch.clamp(across, -2, 2), of(leads) * near]
    return torch.stack([
        signed_log(dl), signed_log(dr), signed_log(gap), signed_log(back), signed_log(dy),
        torch.clamp(dy, -2, 2), torch.clamp(on, -2, 2), torch.clamp(to, -2, 2), signed_log(on), same,
        signed_log(dv) * 0.25, both * (torch.abs(dv) < 0.5).to(x.dtype), both,
        torch.exp(-torch.abs(dl)), torch.exp(-torch.abs(dr)), torch.exp(-torch.abs(gap)),
        torch.exp(-4 * on * on), torch.exp(-4 * to * to), *led(a, b(lx), b(ly)), *led(b, a(lx), a(ly))], dim=-3)


class Layer(nn.Module):
    def __init__(self):
        super().__init__()
        self.norm1, self.norm2 = nn.LayerNorm(WIDTH), nn.LayerNorm(WIDTH)
        self.qkv, self.out = nn.Linear(WIDTH, 3 * WIDTH), nn.Linear(WIDTH, WIDTH)
        self.up, self.down = nn.Linear(WIDTH, 2 * WIDTH), nn.Linear(2 * WIDTH, WIDTH)

    def forward(self, x, bias):
        shape = x.shape[:-1]
        qkv = self.qkv(self.norm1(x)).reshape(*shape, 3, HEADS, WIDTH // HEADS)
        q, k, v = (qkv[..., i, :, :].transpose(-2, -3) for i in range(3))
        if x.is_cuda:
            mixed = F.scaled_dot_product_attention(q, k, v, attn_mask=bias.to(q.dtype))
        else:
            weights = torch.matmul(q, k.transpose(-1, -2)) * (WIDTH // HEADS) ** -0.5 + bias
            mixed = torch.matmul(torch.softmax(weights, -1), v)
        mixed = mixed.transpose(-2, -3).reshape(*shape, WIDTH)
        x = x + self.out(mixed)
        return x + self.down(F.relu(self.up(self.norm2(x))))


class PageModel(nn.Module):
    def __init__(self):
        super().__init__()
        # Lengths and values are scaled before they enter; the pairs see them as they are.
        scale = torch.ones(FEATURES)
        scale[0:4] = 0.05
        scale[5:7] = 0.0
        scale[47:49] = 0.05
        self.register_buffer("scale", scale)
        self.enter = nn.Sequential(nn.Linear(FEATURES, WIDTH), nn.ReLU(), nn.Linear(WIDTH, WIDTH))
        self.pair1, self.pair2 = nn.Linear(PAIRS, PAIR), nn.Linear(PAIR, LAYERS * HEADS + 1)
        self.layers = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.norm = nn.LayerNorm(WIDTH)
        self.each = nn.Linear(WIDTH, ROLES + LEVELS + COLUMNS + LEAVES)
        self.ask, self.asked = nn.Linear(WIDTH, WIDTH), nn.Linear(WIDTH, WIDTH)
        self.page = nn.Linear(WIDTH, KINDS)

    def forward(self, x, mask=None):
        """x [N, F] or [B, N, F]; mask [B, N] of true segments. Logits."""
        # Channels first, so that each head's part lies together in memory.
        each = pairs(x).flatten(-2)
        each = torch.relu(torch.matmul(self.pair1.weight, each) + self.pair1.bias[:, None])
        bias = torch.matmul(self.pair2.weight, each) + self.pair2.bias[:, None]
        bias = bias.unflatten(-1, (x.shape[-2], x.shape[-2]))
        if mask is not None:
            bias = bias.masked_fill(~mask[:, None, None, :], -1e4)
        h = self.enter(x * self.scale)
        *each_layer, last = bias.split([HEADS] * LAYERS + [1], dim=-3)
        for layer, own in zip(self.layers, each_layer):
            h = layer(h, own)
        h = self.norm(h)
        head = torch.matmul(self.ask(h), self.asked(h).transpose(-1, -2)) * WIDTH ** -0.5 + last.squeeze(-3)
        each = self.each(h)
        if mask is None:
            mean = h.mean(-2, keepdim=True)
        else:
            mean = (h * mask[..., None]).sum(-2, keepdim=True) / mask.sum(-1)[:, None, None]
        return each, head, self.page(mean)


def records(stream):
    while True:
        start = stream.read(8)
        if len(start) < 8:
            return
        n, kind = np.frombuffer(start, "<u4")
        rows = np.frombuffer(stream.read(int(n) * FEATURES * 4), "<f4").reshape(n, FEATURES)
        truth = np.frombuffer(stream.read(int(n) * 10), "<u2").reshape(n, 5)
        if 3 <= n <= 900:
            yield rows, truth.astype(np.int64), int(kind)


# Pairs in a batch. Without a GPU a fit that begins with weights takes small steps for some minutes.
BUDGET = 10_000_000 if torch.cuda.is_available() else 500_000


def feed(program, seed, batches):
    """Runs the program without end and puts batches: a process of its own, so that no two share an interpreter."""
    np.random.seed(seed % 2**32)
    some = []
    while True:
        run = subprocess.Popen([program, "--seed", str(seed), "--count", "20000"], stdout=subprocess.PIPE, bufsize=1 << 20)
        for record in records(run.stdout):
            some.append(record)
            if len(some) == 512:
                for group in grouped(some):
                    batches.put(padded(group))
                some = []
        seed += 1_000


def grouped(some):
    """Pages of like length together, so many that their pairs fill the budget."""
    some.sort(key=lambda r: len(r[0]))
    groups, group = [], []
    for record in some:
        if group and (len(group) + 1) * len(record[0]) ** 2 > BUDGET:
            groups.append(group)
            group = []
        group.append(record)
    groups.append(group)
    np.random.shuffle(groups)
    return groups


def padded(group):
    # Attention runs faster on multiples of eight.
    longest = (max(len(r[0]) for r in group) + 7) // 8 * 8
    x = np.zeros((len(group), longest, FEATURES), "f4")
    truth = np.zeros((len(group), longest, 5), "i2")
    mask = np.zeros((len(group), longest), bool)
    for i, (rows, answers, _) in enumerate(group):
        x[i, :len(rows)], truth[i, :len(rows)], mask[i, :len(rows)] = rows, answers, True
    return x, truth, mask, np.array([r[2] for r in group])


def tensors(batch, device):
    x, truth, mask, kinds = (torch.from_numpy(part).to(device, non_blocking=True) for part in batch)
    return x, truth.long(), mask, kinds


def losses(model, x, truth, mask, kinds):
    each, head, page = model(x, mask)
    each, head, page = each.float(), head.float(), page.float()
    role, level, column, leaf = each.split([ROLES, LEVELS, COLUMNS, LEAVES], -1)
    owned = mask & ENTRY_ROLES.to(x.device)[truth[..., 0]]
    def ce(logits, target, where):
        return F.cross_entropy(logits[where], target[where])
    parts = dict(
        role=ce(role, truth[..., 0], mask), head=ce(head, truth[..., 1], owned),
        level=ce(level, truth[..., 2].clamp(max=LEVELS - 1), owned), column=ce(column, truth[..., 3].clamp(max=COLUMNS - 1), owned),
        leaf=ce(leaf, truth[..., 4], owned), page=F.cross_entropy(page.squeeze(-2), kinds))
    weights = dict(role=1.0, head=1.0, level=0.1, column=0.2, leaf=0.2, page=0.05)
    return sum(weights[k] * v for k, v in parts.items()), parts, role, head


@torch.no_grad()
def judge(model, held, device):
    model.eval()
    right = dict(role=[0, 0], label=[0, 0], link=[0, 0], sure=[0, 0])
    for batch in held:
        x, truth, mask, kinds = tensors(batch, device)
        with torch.autocast("cuda", torch.bfloat16, enabled=device == "cuda"):
            _, _, role, head = losses(model, x, truth, mask, kinds)
        r, h = role.argmax(-1), head.argmax(-1)
        ok = (r == truth[..., 0])[mask]
        right["role"][0] += ok.sum().item(); right["role"][1] += ok.numel()
        is_label = mask & (truth[..., 0] == 3)
        both = ((r == 3) & (h == truth[..., 1]))[is_label]
        right["label"][0] += both.sum().item(); right["label"][1] += both.numel()
        owned = mask & ENTRY_ROLES.to(device)[truth[..., 0]]
        link = (h == truth[..., 1])[owned]
        right["link"][0] += link.sum().item(); right["link"][1] += link.numel()
        p = role.softmax(-1)[..., 3] * head.softmax(-1).amax(-1)
        sure = mask & (p > 0.99)
        good = ((truth[..., 0] == 3) & (h == truth[..., 1]))[sure]
        right["sure"][0] += good.sum().item(); right["sure"][1] += good.numel()
    model.train()
    return " ".join(f"{k} {a / max(b, 1):.4f} of {b}" for k, (a, b) in right.items())


def widened(weights, model):
    """Weights of a model that saw fewer features: what is new begins at nothing."""
    for name, now in model.state_dict().items():
        if name == "scale":
            weights[name] = now.clone()
        elif weights[name].shape != now.shape:
            old, weights[name] = weights[name], torch.zeros_like(now)
            weights[name][:, :old.shape[1]] = old
    return weights


def export(model, file):
    model = model.float().cpu().eval()
    x = torch.randn(37, FEATURES)
    torch.onnx.export(model, (x,), file, input_names=["segments"], output_names=["each", "head", "page"],
                      dynamic_axes={"segments": {0: "n"}, "each": {0: "n"}, "head": {0: "n", 1: "n"}},
                      opset_version=17, dynamo=False)


def main():
    program, out, seconds = sys.argv[1], sys.argv[2], float(sys.argv[3])
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.backends.cuda.matmul.allow_tf32 = True
    batches = multiprocessing.Queue(100 if device == "cuda" else 12)
    for worker in range(max(1, (os.cpu_count() or 2) - 2)):
        seed = int(time.time()) % 100_000 * 1_000_000 + worker
        multiprocessing.Process(target=feed, args=(program, seed, batches), daemon=True).start()
    model = PageModel().to(device)
    if len(sys.argv) > 4:
        model.load_state_dict(widened(torch.load(sys.argv[4], map_location=device), model))
    test = subprocess.run([program, "--seed", "7", "--count", "600" if device == "cuda" else "60"], stdout=subprocess.PIPE).stdout
    pages = list(records(io.BytesIO(test)))
    held = [padded(pages[i:i + 8]) for i in range(0, len(pages), 8)]
    peak = 1.2e-3 if len(sys.argv) <= 4 else float(os.environ.get("PEAK", "8e-4")) if device == "cuda" else 3e-4
    optimiser = torch.optim.AdamW(model.parameters(), lr=peak, weight_decay=0.02, betas=(0.9, 0.98))
    began = shown = saved = time.time()
    step = seen = 0
    mean = {}
    while True:
        part = (time.time() - began) / seconds
        if part >= 1:
            break
        rate = peak * min(1, (step + 1) / 400) * (0.5 + 0.5 * math.cos(math.pi * part)) + 1e-6
        for g in optimiser.param_groups:
            g["lr"] = rate
        batch = batches.get()
        x, truth, mask, kinds = tensors(batch, device)
        with torch.autocast("cuda", torch.bfloat16, enabled=device == "cuda"):
            loss, parts, _, _ = losses(model, x, truth, mask, kinds)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(model.parameters(), 1.0)
        optimiser.step()
        step += 1
        seen += len(kinds)
        if step % 20 == 0:
            for k, v in parts.items():
                mean[k] = 0.9 * mean.get(k, v.item()) + 0.1 * v.item()
        if time.time() - shown > (40 if device == "cuda" else 150):
            shown = time.time()
            print(f"{shown - began:.0f} s, step {step}, {seen} pages, queue {batches.qsize()},",
                  " ".join(f"{k} {v:.4f}" for k, v in mean.items()), "|", judge(model, held, device), flush=True)
            torch.save(model.state_dict(), os.path.join(out, "page.pt"))
    print("end", step, seen, judge(model, held, device), flush=True)
    torch.save(model.state_dict(), os.path.join(out, "page.pt"))
    export(model, os.path.join(out, "page.onnx"))
    for worker in multiprocessing.active_children():
        worker.kill()
    os._exit(0)


main()
